/** One request: how it stands, what it would become, what was said; the planner answers it, whoever asked answers an offer. */
import { useQuery, useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate, useParams } from "@tanstack/react-router";
import { useState } from "react";
import type { PlacesAnswer } from "../../../src/contract/api/questions/places.ts";
import type { RequestView } from "../../../src/contract/api/request.ts";
import { type RequestAct, requestQuery, useSayToRequest } from "../../client/requests.ts";
import { PLANNERS, planQuery, plantQuery, REQUESTERS, useMay, useSiteTime } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Failure, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { numberText, peopleText, unbroken } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import "../fit/fit.css";
import { keepDraftCampaign } from "./draft-campaign.ts";
import { RequestAnswer } from "./request-answer.tsx";
import { isOpen, RequestState } from "./request-list.tsx";
import "./rigs.css";
import { SayDialog } from "./say-dialog.tsx";

const w = words.rigs;

export type Place = PlacesAnswer["places"][number];

export function RequestPage() {
  const { number } = useParams({ from: "/rigs/requests/$number" });
  const request = useSuspenseQuery(requestQuery(Number(number))).data;
  return <RequestSheet key={request.number} request={request} />;
}

function RequestSheet({ request }: { readonly request: RequestView }) {
  const time = useSiteTime();
  const plan = useQuery(planQuery).data;
  const navigate = useNavigate();
  const mayPlan = useMay(PLANNERS);
  const mayAsk = useMay(REQUESTERS);
  const say = useSayToRequest();
  const [saying, setSaying] = useState<"decline" | "ask-again" | "withdraw" | null>(null);
  const own = request.mine || mayPlan;
  const machineName = (id: string): string =>
    plan === undefined ? "…" : (plan.problem.machines.find((machine) => machine.id === id)?.name ?? id);

  const act = (what: RequestAct, body: object, done: string, revision?: number): void =>
    say.mutate({ number: request.number, act: what, body, revision }, { onSuccess: () => toast(done) });
  const open = isOpen(request);
  return (
    <Page
      title={w.request(request.number, request.title)}
      about={request.note === "" ? undefined : request.note}
      back={<Link to="/rigs">{words.shell.back(w.title)}</Link>}
      figures={[
        { label: w.requestFigures.asked, value: request.requester, how: null },
        { label: w.requestFigures.earliest, value: time.day(request.earliest), how: null },
        {
          label: w.requestFigures.wanted,
          value: request.wantedBy === null ? words.forms.none : time.dueText(request.wantedBy),
          how: null,
        },
        { label: w.requestFigures.state, value: <RequestState request={request} />, how: null },
      ]}
      actions={
        <>
          {request.state === "accepted" ? (
            <Link className="button" to="/orders/$id" params={{ id: request.order }}>
              {w.openOrder}
            </Link>
          ) : null}
          {request.campaign && mayAsk && !open ? (
            <button
              type="button"
              className="button"
              onClick={() => {
                if (request.campaign) keepDraftCampaign(request.campaign);
                void navigate({ to: "/campaign" });
              }}
            >
              {w.campaignForm}
            </button>
          ) : null}
          {open && own && mayAsk ? (
            <button type="button" className="button" onClick={() => setSaying("withdraw")}>
              {w.withdraw}
            </button>
          ) : null}
          {open && mayPlan ? (
            <button type="button" className="button button-danger" onClick={() => setSaying("decline")}>
              {w.decline}
            </button>
          ) : null}
        </>
      }
    >
      {say.isError ? <Failure error={say.error} /> : null}
      {request.state === "countered" && request.offer ? (
        <div className="request-offer" role="note">
          <h2>{w.offer}</h2>
          <p className="strong">
            {w.offerText(
              time.dayTime(request.offer.start),
              time.dayTime(request.offer.end),
              request.offer.machines.map(machineName).join(" + "),
            )}
          </p>
          <p>{request.lastMessage.text}</p>
          <p className="quiet">{w.offerUntil(time.dayTime(request.offer.until))}</p>
          {own && mayAsk ? (
            <div className="row">
              <button
                type="button"
                className="button button-main"
                disabled={say.isPending}
                onClick={() => act("agree", {}, w.agreedToast)}
              >
                {w.agree}
              </button>
              <button type="button" className="button" onClick={() => setSaying("ask-again")}>
                {w.askAgain}
              </button>
            </div>
          ) : null}
        </div>
      ) : null}
      {request.state === "asked" && mayPlan ? <RequestAnswer request={request} busy={say.isPending} act={act} /> : null}
      {request.state === "asked" && !mayPlan ? <Notice>{w.askedNext}</Notice> : null}
      <Becomes request={request} machineName={machineName} />
      <Section title={w.conversation}>
        <ol className="messages">
          {request.messages.map(({ at, by, said, text }) => (
            <li key={at + said}>
              <time dateTime={at}>{time.dayTime(Math.floor((Date.parse(at) - Date.parse(time.origin)) / 60_000))}</time>
              <span>
                {by} {w.said[said]}
              </span>
              <span className="strong">{text}</span>
            </li>
          ))}
        </ol>
      </Section>
      {saying ? (
        <SayDialog
          act={saying}
          onClose={() => setSaying(null)}
          onSay={(note) => {
            setSaying(null);
            act(
              saying,
              { note },
              { decline: w.declinedToast, "ask-again": w.askedAgainToast, withdraw: w.withdrawnToast }[saying],
            );
          }}
        />
      ) : null}
    </Page>
  );
}

/** Sessions as the order would have them. */
function Becomes({ request, machineName }: { readonly request: RequestView; readonly machineName: (id: string) => string }) {
  const supplies = useQuery(plantQuery("supplies")).data ?? [];
  const c = w.sessionColumns;
  return (
    <Section title={w.asPlanned} about={w.asPlannedAbout(request.order)}>
      <div className="table-frame">
        <table className="table">
          <thead>
            <tr>
              {(["session", "rigs", "work", "people", "draws"] as const).map((key) => (
                <th key={key} scope="col">
                  {c[key]}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {request.body.operations.map(({ id, name, modes }) => {
              const phases = modes[0]?.phases ?? [];
              const needs = new Set(
                phases.flatMap((phase) => phase.needs.map(({ skill, amount }) => unbroken(`${peopleText(amount)} ${skill}`))),
              );
              const draws = phases.flatMap((phase) =>
                phase.draws.map(({ supply, amount }) => {
                  const known = supplies.find((one) => one.id === supply);
                  return `${known?.name ?? supply} ${unbroken(`${numberText(amount)} ${known?.unit ?? ""}`.trim())}`;
                }),
              );
              return (
                <tr key={id}>
                  <th scope="row">
                    {id} {name}
                  </th>
                  <td>{modes.map(({ machines }) => unbroken(machines.map(machineName).join(" + "))).join(" / ")}</td>
                  <td>
                    {phases
                      .map(({ kind, work, needs: people }) =>
                        unbroken(
                          `${words.orders.phaseNames[kind === "run" ? (people.length > 0 ? "attended" : "unattended") : kind]} ${work.kind === "fixed" ? durationText(work.minutes) : ""}`.trim(),
                        ),
                      )
                      .join(", ")}
                  </td>
                  <td>{[...needs].join(", ")}</td>
                  <td>{[...new Set(draws)].join(", ")}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </Section>
  );
}
