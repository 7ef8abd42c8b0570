/** How sure the plan is: chance and dates of every promised order, what decides lateness, and what was taken to vary. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { RiskAnswer } from "../../../src/contract/api/questions/risk.ts";
import { howSureQuery } from "../../client/how-sure.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { Chance } from "../../parts/chance.tsx";
import { Page, Section } from "../../parts/page.tsx";
import { Empty, Notice } from "../../parts/states.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { numberText, shareText } from "../../present/amounts.ts";
import { instantText } from "../../present/instant.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { TakenToVary } from "./taken-to-vary.tsx";
import { WorkingOut } from "./working-out.tsx";

const w = words.howSure;
const THREATENED = 0.8;
const DECIDERS_MAX = 25;
const LAGS_MAX = 15;

export function HowSurePage() {
  const latest = useSuspenseQuery(howSureQuery).data;
  const view = useSuspenseQuery(planQuery).data;
  const time = useSiteTime();
  if (latest === null) {
    return (
      <Page title={w.title} about={w.about}>
        <Empty title={w.noneTitle} actions={<WorkingOut known={false} />}>
          {w.none}
        </Empty>
      </Page>
    );
  }
  const { answer } = latest;
  const threatened = answer.orders.filter(({ onTime }) => onTime !== null && onTime < THREATENED).length;
  const date = (minute: number | null): string => (minute === null ? w.beyond : time.dayTime(minute));
  return (
    <Page
      title={w.title}
      about={w.about}
      figures={[
        { label: w.runs, value: numberText(answer.runs) },
        { label: w.unlikely, value: threatened > 0 ? <span className="late">{numberText(threatened)}</span> : 0 },
        { label: w.latestEnd, value: `${date(answer.end.p50)} / ${date(answer.end.p95)}` },
        { label: w.from, value: instantText(latest.finishedAt, time.zone) },
      ]}
      actions={<WorkingOut known />}
    >
      {latest.stale ? <Notice kind="warn">{w.stale}</Notice> : null}
      <Orders answer={answer} view={view} time={time} />
      <Deciders answer={answer} view={view} />
      <Lags answer={answer} view={view} />
      <Section title={w.takenTitle} about={answer.measured ? w.measured : w.commonPractice}>
        <TakenToVary profile={answer.profile} view={view} />
        <p className="quiet">{w.seed(answer.seed)}</p>
        <Link className="button" to="/setup/risk">
          {w.settle}
        </Link>
      </Section>
    </Page>
  );
}

type PartProps = { readonly answer: RiskAnswer; readonly view: PlanView };

function Orders({ answer, view, time }: PartProps & { readonly time: SiteTime }) {
  const names = new Map(view.problem.orders.map((order) => [order.id, order.name]));
  const rows = answer.orders.toSorted((a, b) => (a.onTime ?? 2) - (b.onTime ?? 2) || a.planned - b.planned);
  const date = (minute: number | null) => (minute === null ? w.beyond : time.dayTime(minute));
  return (
    <Section title={w.ordersTitle} actions={<HowComputed label={w.chance} text={w.how} />}>
      <div className="table-frame">
        <table className="table table-links">
          <thead>
            <tr>
              <th scope="col">{w.order}</th>
              <th scope="col">{w.chance}</th>
              {[w.due, w.planned, w.p50, w.p80, w.p95].map((label) => (
                <th scope="col" className="number" key={label}>
                  {label}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ order, due, planned, onTime, onTimeError, dates }) => {
              const late = (minute: number | null): string =>
                due !== null && (minute === null || minute > due) ? "number late" : "number";
              return (
                <tr key={order}>
                  <td>
                    <Link to="/orders/$id" params={{ id: order }}>
                      {order} {names.get(order)}
                    </Link>
                  </td>
                  <td className="nowrap">
                    {onTime === null ? (
                      <span className="quiet">{w.noPromise}</span>
                    ) : (
                      <Chance share={onTime} title={w.chanceHow(shareText(onTimeError ?? 0))} />
                    )}
                  </td>
                  <td className="number">{due === null ? "" : time.dueText(due)}</td>
                  <td className={late(planned)}>{time.dayTime(planned)}</td>
                  <td className={late(dates.p50)}>{date(dates.p50)}</td>
                  <td className={late(dates.p80)}>{date(dates.p80)}</td>
                  <td className={late(dates.p95)}>{date(dates.p95)}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </Section>
  );
}

function Deciders({ answer, view }: PartProps) {
  const operations = new Map(view.problem.operations.map((operation) => [operation.id, operation]));
  const rows = answer.operations.slice(0, DECIDERS_MAX);
  return (
    <Section title={w.decidersTitle} about={w.deciders}>
      <div className="table-frame">
        <table className="table table-links">
          <thead>
            <tr>
              <th scope="col">{w.operation}</th>
              <th scope="col">{w.order}</th>
              <th scope="col" className="number">
                {w.makesLate}
              </th>
              <th scope="col" className="number">
                {w.decidesEnd}
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ operation: id, decidesEnd, decidesLateness }) => {
              const operation = operations.get(id);
              return (
                <tr key={id}>
                  <td>
                    {id} {operation?.name}
                  </td>
                  <td>
                    {operation ? (
                      <Link to="/orders/$id" params={{ id: operation.order }}>
                        {operation.order}
                      </Link>
                    ) : null}
                  </td>
                  <td className="number">{shareText(decidesLateness)}</td>
                  <td className="number">{shareText(decidesEnd)}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </Section>
  );
}

function Lags({ answer, view }: PartProps) {
  const rows = answer.brokenLags.toSorted((a, b) => b.share - a.share).slice(0, LAGS_MAX);
  if (rows.length === 0) return null;
  const links = new Map(view.problem.links.map((link) => [link.id, link]));
  return (
    <Section title={w.lagsTitle} about={w.lags}>
      <table className="table" style={{ maxWidth: 640 }}>
        <tbody>
          {rows.map(({ link: id, share }) => {
            const link = links.get(id);
            return (
              <tr key={id}>
                <td>{link ? `${link.from} → ${link.to}` : id}</td>
                <td className="number">{shareText(share)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </Section>
  );
}
