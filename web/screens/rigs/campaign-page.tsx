/** Planning a campaign: the form on the left, what comes of it on the right; asked for with one button, or opened as an order. */
import { useQuery } from "@tanstack/react-query";
import { Link, useNavigate } from "@tanstack/react-router";
import { useEffect, useMemo, useRef, useState } from "react";
import { type Campaign, campaignSchema } from "../../../src/contract/campaign/campaign-schema.ts";
import { campaignTime, campaignToOrder } from "../../../src/contract/campaign/campaign-to-order.ts";
import { type CampaignShop, rigChoice } from "../../../src/contract/campaign/rig-choice.ts";
import { ApiProblem } from "../../client/api-problem.ts";
import { useQuestion } from "../../client/question.ts";
import { useMakeRequest, useTakenNumbers } from "../../client/requests.ts";
import { PLANNERS, plantQuery, REQUESTERS, useMay, useSession, useSiteTime } from "../../client/shop.ts";
import { useForm } from "../../forms/use-form.ts";
import { Page } from "../../parts/page.tsx";
import { Failure, Loading, NoRights, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { dateFromToday } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import "../fit/fit.css";
import { keepDraftOrder } from "../orders/draft-order.ts";
import { nextId } from "../orders/order-defaults.ts";
import { CampaignForm } from "./campaign-form.tsx";
import { CampaignPreview } from "./campaign-preview.tsx";
import { takeDraftCampaign } from "./draft-campaign.ts";
import "./rigs.css";

const w = words.rigs;
/** A preview follows the hand, not every letter. */
const SETTLE_MS = 700;

export function CampaignPage() {
  const mayAsk = useMay(REQUESTERS);
  const shop = useCampaignShop();
  return (
    <Page title={w.campaign} about={w.campaignAbout} back={<Link to="/rigs">{words.shell.back(w.title)}</Link>}>
      {!mayAsk ? <NoRights roles={REQUESTERS} /> : shop === null ? <Loading /> : <CampaignSheet shop={shop} />}
    </Page>
  );
}

/** What of the shop a campaign is judged against; null while it is read. */
export function useCampaignShop(): CampaignShop | null {
  const machines = useQuery(plantQuery("machines")).data;
  const supplies = useQuery(plantQuery("supplies")).data;
  const setupTables = useQuery(plantQuery("setup-tables")).data;
  const kits = useQuery(plantQuery("kits")).data;
  const crews = useQuery(plantQuery("crews")).data;
  return useMemo(
    () => (machines && supplies && setupTables && kits && crews ? { machines, supplies, setupTables, kits, crews } : null),
    [machines, supplies, setupTables, kits, crews],
  );
}

function CampaignSheet({ shop }: { readonly shop: CampaignShop }) {
  const taken = useTakenNumbers();
  const time = useSiteTime();
  const { user } = useSession();
  const mayPlan = useMay(PLANNERS);
  const navigate = useNavigate();
  const make = useMakeRequest();
  const [initial] = useState((): Campaign => {
    const skills = [...new Set(shop.crews.flatMap((crew) => crew.skills))];
    const fresh = {
      title: "",
      work: { kind: "estimate" as const, estimator: "test-grid", inputs: {}, point: "likely" as const },
      skill: skills.find((skill) => /test/i.test(skill)) ?? skills[0] ?? "",
      earliest: dateFromToday(time, 0),
    };
    return { ...campaignSchema.parse({ ...fresh, title: "-", skill: fresh.skill || "-" }), ...fresh, ...takeDraftCampaign() };
  });
  const form = useForm<Campaign>(campaignSchema, initial);
  const [note, setNote] = useState("");
  const campaign = form.root.value;
  const id = nextId(taken);
  const built = useMemo(
    () => campaignToOrder({ ...campaign, title: campaign.title || "…" }, shop, id, user?.name ?? null),
    [campaign, shop, id, user],
  );
  const hours = useMemo(() => campaignTime(campaign), [campaign]);
  const rigs = useMemo(() => rigChoice(campaign, shop), [campaign, shop]);
  const places = useQuestion("places");
  const key = built.ok
    ? JSON.stringify(built.value.order.operations) + String(campaign.earliest) + String(campaign.wantedBy)
    : null;
  const look = useRef<() => void>(() => undefined);
  useEffect(() => {
    look.current = () => {
      if (built.ok) void places.ask({ order: built.value.order }).catch(() => undefined);
    };
  });
  useEffect(() => {
    if (key === null) return;
    const timer = setTimeout(() => look.current(), SETTLE_MS);
    return () => clearTimeout(timer);
  }, [key]);

  const askFor = (): void =>
    form.submit((valid) => {
      const order = campaignToOrder(valid, shop, id, user?.name ?? null);
      if (!order.ok) return form.takeFaults(order.error);
      make.mutate(
        { order: order.value.order, campaign: valid, note },
        {
          onSuccess: ({ number }) => {
            toast(w.askedToast(number));
            void navigate({ to: "/rigs/requests/$number", params: { number: String(number) } });
          },
          onError: (error) => {
            if (error instanceof ApiProblem) form.takeFaults(error.faults);
          },
        },
      );
    });
  const asOrder = (): void =>
    form.submit((valid) => {
      const order = campaignToOrder(valid, shop, id, user?.name ?? null);
      if (!order.ok) return form.takeFaults(order.error);
      keepDraftOrder(order.value.order);
      void navigate({ to: "/add/order" });
    });
  // What is filled in later is no fault while it is being filled in.
  const open = [...form.faults, ...(built.ok ? [] : built.error)];

  return (
    <div className="campaign">
      <CampaignForm lens={form.root} />
      <CampaignPreview built={built} hours={hours} rigs={rigs} places={places} time={time}>
        {make.isError ? <Failure error={make.error} /> : null}
        {form.submitted && open.length > 0 ? (
          <Notice kind="bad" title={w.fixFirst}>
            <ul>
              {open.slice(0, 6).map(({ pointer, message }) => (
                <li key={pointer + message}>
                  {pointer.split("/").at(-1)}: {message}
                </li>
              ))}
            </ul>
          </Notice>
        ) : null}
        <label className="campaign-note">
          <span className="quiet">{w.note}</span>
          <textarea rows={2} value={note} onChange={(e) => setNote(e.target.value)} />
        </label>
        <div className="row">
          <button type="button" className="button button-main" disabled={make.isPending} onClick={askFor}>
            {make.isPending ? w.asking : w.askFor}
          </button>
          {mayPlan ? (
            <button type="button" className="button" title={w.asOrderHint} onClick={asOrder}>
              {w.asOrder}
            </button>
          ) : null}
        </div>
        <p className="quiet">{w.caution}</p>
      </CampaignPreview>
    </div>
  );
}
