/** How sure the plan is: chance and dates of every promised order, what decides lateness, and what was taken to vary. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { RiskAnswer } from "../../../src/contract/api/questions/risk.ts";
import { howSureQuery } from "../../client/how-sure.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { Chance } from "../../parts/chance.tsx";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Page, Section } from "../../parts/page.tsx";
import { Empty, Notice } from "../../parts/states.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { chanceText, numberText, shareText } from "../../present/amounts.ts";
import { instantText } from "../../present/instant.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { overRestText } from "./over-rest-text.ts";
import { TakenToVary } from "./taken-to-vary.tsx";
import { WorkingOut } from "./working-out.tsx";

const w = words.howSure;
const { howSure: how } = words.how;
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
        { label: w.runs, value: numberText(answer.runs), how: how.runs },
        {
          label: w.unlikely,
          value: threatened > 0 ? <span className="late">{numberText(threatened)}</span> : 0,
          how: how.unlikely,
        },
        { label: w.latestEnd, value: `${date(answer.end.p50)} / ${date(answer.end.p95)}`, how: how.latestEnd },
        { label: w.from, value: instantText(latest.finishedAt, time.zone), how: null },
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
    <Section title={w.ordersTitle} actions={<HowComputed label={words.how.ask} text={w.how} />}>
      <div className="table-frame">
        <table className="table table-links">
          <thead>
            <tr>
              <th scope="col">{w.order}</th>
              <HeadCell label={w.chance} how={w.how} />
              <HeadCell label={w.due} how={null} number />
              {(["planned", "p50", "p80", "p95"] as const).map((key) => (
                <HeadCell key={key} label={w[key]} how={how[key]} number />
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ order, due, planned, onTime, onTimeError, dates, overRest }) => {
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
                    {overRest === null || (onTime ?? 1) >= THREATENED ? null : (
                      <div className="quiet chance-rest">{overRestText(overRest, time)}</div>
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
              <HeadCell label={w.makesLate} how={how.makesLate} number />
              <HeadCell label={w.decidesEnd} how={how.decidesEnd} number />
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
                  <td className="number">{chanceText(decidesLateness)}</td>
                  <td className="number">{chanceText(decidesEnd)}</td>
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
                <td className="number">{chanceText(share)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </Section>
  );
}
