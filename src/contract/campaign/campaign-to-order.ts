/**
 * A campaign becomes an order: its time by the estimate, cut into sessions, each session an operation with a way on every rig (or
 * pair) that can take it: set up, warm up and check zero, run, check zero and unload. Pure. Faults point into the campaign.
 * That a transducer is warmed up for about half an hour and zeroed before and after is common practice, no source; so is that its
 * warm-up has passed off after an hour.
 */
import { ESTIMATORS } from "../../core/estimate/catalogue.ts";
import { type Estimate, minutesOf } from "../../core/estimate/estimate.ts";
import { cutIntoSessions } from "../../core/estimate/sessions.ts";
import { err, ok, type Result } from "../../core/ground/result.ts";
import { type OrderBody, orderBodySchema } from "../api/order.ts";
import type { FaultAtPointer } from "../api/problem-details.ts";
import { MINUTES_MAX } from "../file/field.ts";
import type { Campaign, CampaignWork } from "./campaign-schema.ts";
import { type CampaignShop, type RigVerdict, rigChoice } from "./rig-choice.ts";

/** A warmed-up transducer stays so for about this long. */
const WARM_FOR_MINUTES = 60;

export type CampaignTime = {
  /** null: the minutes were given. */
  readonly estimate: Estimate | null;
  /** Time of the test itself that is planned, in whole minutes. */
  readonly minutes: number;
  /** The same, session by session. */
  readonly sessions: readonly number[];
  /** Getting ready, checks and unloading, over all sessions. */
  readonly aroundMinutes: number;
};

/** How long it takes and in which sessions. */
export function campaignTime(campaign: Campaign): Result<CampaignTime, readonly FaultAtPointer[]> {
  const time = workOf(campaign.work);
  if (!time.ok) return time;
  const { estimate, minutes } = time.value;
  const sessions = cutIntoSessions(minutes, campaign.sessionLeast, campaign.sessionMost);
  if (!sessions.ok) return err([{ pointer: `/${sessions.error.at}`, message: sessions.error.message }]);
  const { prepareMinutes, warmUpMinutes, zeroBeforeMinutes, zeroAfterMinutes, clearMinutes } = campaign;
  const around = prepareMinutes + warmUpMinutes + zeroBeforeMinutes + zeroAfterMinutes + clearMinutes;
  return ok({ estimate, minutes, sessions: sessions.value, aroundMinutes: around * sessions.value.length });
}

function workOf(
  work: CampaignWork,
): Result<{ readonly estimate: Estimate | null; readonly minutes: number }, readonly FaultAtPointer[]> {
  if (work.kind === "minutes")
    return work.minutes > 0
      ? ok({ estimate: null, minutes: work.minutes })
      : err([{ pointer: "/work/minutes", message: "expected at least 1 minute on the rig" }]);
  const estimator = ESTIMATORS.find(({ kind }) => kind === work.estimator);
  if (estimator === undefined)
    return err([
      {
        pointer: "/work/estimator",
        message: `there is no estimate “${work.estimator}”; expected one of ${ESTIMATORS.map(({ kind }) => kind).join(", ")}`,
      },
    ]);
  const result = estimator.estimate(work.inputs);
  if (!result.ok) return err(result.error.map(({ at, message }) => ({ pointer: `/work/inputs/${at}`, message })));
  const { bestSeconds, likelySeconds, worstSeconds } = result.value;
  const minutes = minutesOf({ best: bestSeconds, likely: likelySeconds, worst: worstSeconds }[work.point]);
  if (minutes < 1)
    return err([{ pointer: "/work/inputs", message: "these inputs make no time at all; expected at least a minute" }]);
  if (minutes > MINUTES_MAX)
    return err([{ pointer: "/work/inputs", message: "these inputs make more than ten years; expected a shorter test" }]);
  return ok({ estimate: result.value, minutes });
}

export type CampaignOrder = { readonly order: OrderBody; readonly time: CampaignTime; readonly rigs: readonly RigVerdict[] };

export function campaignToOrder(
  campaign: Campaign,
  shop: CampaignShop,
  id: string,
  requester: string | null,
): Result<CampaignOrder, readonly FaultAtPointer[]> {
  const time = campaignTime(campaign);
  const rigs = rigChoice(campaign, shop);
  const able = rigs.filter(({ reasons }) => reasons.length === 0);
  const faults = [...(time.ok ? [] : time.error), ...referenceFaults(campaign, shop)];
  if (able.length === 0) faults.push({ pointer: "/needs", message: noneAble(rigs, campaign.backToBack) });
  if (!time.ok || faults.length > 0) return err(faults);
  const { sessions } = time.value;
  const operations = sessions.map((minutes, i) =>
    session(campaign, shop, able, `${id}/${(i + 1) * 10}`, minutes, i, sessions.length),
  );
  const ids = operations.map((operation) => operation.id);
  const [first = ""] = ids;
  const last = ids.at(-1) ?? first;
  const held = campaign.holdArticles && ids.length > 1;
  const order = orderBodySchema.parse({
    id,
    name: campaign.title,
    ...(campaign.notes === undefined ? {} : { notes: campaign.notes }),
    kind: "campaign",
    quantity: 1,
    release: campaign.earliest,
    due: campaign.wantedBy,
    weight: campaign.weight,
    requester,
    operations,
    links: ids
      .slice(1)
      .flatMap((to, i) => [
        { kind: "lag", id: `${id}-link-${i + 1}`, from: ids[i], to, minLag: campaign.restMinutes },
        ...(campaign.sameRig && able.length > 1 ? [{ kind: "sameMachine", id: `${id}-same-${i + 1}`, from: first, to }] : []),
      ]),
    kitSpans: held
      ? campaign.articles.map(({ kit, count }, i) => ({ id: `${id}-kit-${i + 1}`, kit, count, from: first, to: last }))
      : [],
  });
  return ok({ order, time: time.value, rigs });
}

function session(
  campaign: Campaign,
  shop: CampaignShop,
  able: readonly RigVerdict[],
  id: string,
  minutes: number,
  index: number,
  count: number,
) {
  const needs = [{ skill: campaign.skill, amount: campaign.people }];
  const fixed = (total: number) => ({ kind: "fixed" as const, minutes: total });
  const ready = campaign.warmUpMinutes + campaign.zeroBeforeMinutes;
  const after = campaign.zeroAfterMinutes + campaign.clearMinutes;
  const phases = [
    { kind: "prepare", flow: "pausable", work: fixed(campaign.prepareMinutes), needs },
    ...(ready > 0 ? [{ kind: "run", flow: "solid", work: fixed(ready), needs }] : []),
    {
      kind: "run",
      flow: campaign.mayPause && !campaign.unattended ? "pausable" : "solid",
      work: fixed(minutes),
      needs: campaign.unattended ? [] : needs,
      draws: campaign.draws,
      maxWait: ready > 0 ? WARM_FOR_MINUTES : null,
    },
    ...(after > 0 ? [{ kind: "clear", flow: "solid", work: fixed(after), needs }] : []),
  ];
  return {
    id,
    name: count === 1 ? "Test" : `Session ${index + 1} of ${count}`,
    modes: able.map(({ machines }) => ({ id: machines.join("+"), machines, ...familiesOn(campaign, shop, machines), phases })),
    startSkill: campaign.unattended ? campaign.skill : null,
    needsCalibrations: campaign.calibrations,
    kits: campaign.holdArticles && count > 1 ? [] : campaign.articles,
  };
}

function familiesOn(campaign: Campaign, shop: CampaignShop, machines: readonly string[]) {
  const families = machines.map((id) => {
    const setup = shop.machines.find((machine) => machine.id === id)?.setup.kind ?? "none";
    return setup === "table" ? campaign.family : setup === "temperature" ? campaign.startTemperature : null;
  });
  return families.every((family) => family === null) ? {} : { families };
}

/** Things named that the shop does not have, and skills that nobody has. */
function referenceFaults(campaign: Campaign, shop: CampaignShop): FaultAtPointer[] {
  const missing = (
    ids: readonly string[],
    known: readonly { readonly id: string }[],
    pointer: (i: number) => string,
    what: string,
  ) =>
    ids.flatMap((id, i) =>
      known.some((one) => one.id === id) ? [] : [{ pointer: pointer(i), message: `there is no ${what} “${id}”` }],
    );
  const skills = [...new Set(shop.crews.flatMap((crew) => crew.skills))];
  return [
    ...missing(
      campaign.articles.map(({ kit }) => kit),
      shop.kits,
      (i) => `/articles/${i}/kit`,
      "kit",
    ),
    ...missing(
      campaign.draws.map(({ supply }) => supply),
      shop.supplies,
      (i) => `/draws/${i}/supply`,
      "supply",
    ),
    ...missing(campaign.rigs ?? [], shop.machines, () => "/rigs", "rig"),
    ...(skills.includes(campaign.skill)
      ? []
      : [{ pointer: "/skill", message: `no crew has the skill “${campaign.skill}”; expected one of ${skills.join(", ")}` }]),
  ];
}

const noneAble = (rigs: readonly RigVerdict[], pair: boolean): string =>
  rigs.length === 0
    ? "the shop has no rigs; enter them under Set-up as machines of the kind rig"
    : `no ${pair ? "pair of rigs" : "rig"} can: ${rigs.map(({ name, reasons }) => `${name} (${reasons.join("; ")})`).join(", ")}`;
