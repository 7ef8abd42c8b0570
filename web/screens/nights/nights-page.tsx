/** Nights: hours worked alone against hours possible, by machine and week, and the work that could start before people leave. */
import { useQuery, useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useMemo, useState } from "react";
import { type NightUse, nightUse } from "../../../src/core/plan/night-hours.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { hasRates, idleNight } from "../../../src/core/scenario/money.ts";
import { settingQuery } from "../../client/publishing.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Page } from "../../parts/page.tsx";
import { Empty, Notice } from "../../parts/states.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { WeekChoice } from "../../parts/week-choice.tsx";
import { hoursText as hours, moneyText, shareText } from "../../present/amounts.ts";
import { weekStart } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { NightProposals } from "./night-proposals.tsx";

const w = words.nights;
const WEEK_CHOICES = [2, 4, 6, 9] as const;

export function NightsPage() {
  const view = useSuspenseQuery(planQuery).data;
  const time = useSiteTime();
  const problem = view.problem as Problem;
  const plan = view.draft.plan as Plan;
  const [count, setCount] = useState<number>(4);
  const use = useMemo(() => {
    const monday = time.clock.shownAt(weekStart(time, problem.now)).day;
    return nightUse(problem, plan, problem.now, Math.min(problem.horizon, time.clock.minuteAt(monday + 7 * count, 0)));
  }, [problem, plan, time, count]);
  const rates = useQuery(settingQuery("rates")).data?.value.value ?? null;
  const idle = useMemo(() => {
    const [week] = use;
    if (rates === null || !hasRates(rates) || week === undefined) return null;
    return new Map(idleNight(rates, problem, plan, [week.start, week.end]).map((one) => [one.machine, one.money]));
  }, [rates, problem, plan, use]);
  const weeks = [...new Map(use.map(({ week, start }) => [week, start]))];
  const machines = problem.machines.filter(({ id }) => use.some(({ machine }) => machine === id));
  if (machines.length === 0)
    return (
      <Page title={w.title} about={w.about}>
        <Empty
          title={w.noneTitle}
          actions={
            <Link className="button" to="/setup/$kind" params={{ kind: "machines" }}>
              {words.setup.kinds.machines.title}
            </Link>
          }
        >
          {w.noneText}
        </Empty>
      </Page>
    );
  const first = use.filter(({ week }) => week === weeks[0]?.[0]);
  const sum = (list: readonly NightUse[], what: "used" | "possible"): number => list.reduce((total, one) => total + one[what], 0);
  return (
    <Page
      title={w.title}
      about={w.about}
      figures={[
        {
          label: w.figure,
          value: `${w.of(hours(sum(first, "used")), hours(sum(first, "possible")))}, ${shareText(
            sum(first, "possible") === 0 ? 0 : sum(first, "used") / sum(first, "possible"),
          )}`,
          how: words.how.nights.figure,
        },
        ...(idle === null || rates === null
          ? []
          : [
              {
                label: w.idleFigure,
                value: moneyText(
                  [...idle.values()].reduce((total, money) => total + money, 0),
                  rates.currency,
                ),
                how: words.how.nights.idle,
              },
            ]),
      ]}
      actions={
        <>
          <HowComputed label={w.how} text={w.howText} />
          <WeekChoice label={w.weeks} choices={WEEK_CHOICES} count={count} onChoose={setCount} />
        </>
      }
    >
      <div className="table-frame">
        <table className="table load">
          <thead>
            <tr>
              <th scope="col" className="load-name">
                {w.machine}
              </th>
              {weeks.map(([week, start], i) => (
                <th key={week} scope="col">
                  {i === 0 ? w.thisWeek : w.week(time.day(start))}
                </th>
              ))}
              {idle === null ? null : <HeadCell label={w.idle} how={words.how.nights.idle} number />}
            </tr>
          </thead>
          <tbody>
            {machines.map(({ id, name }) => (
              <tr key={id}>
                <th scope="row" className="load-name">
                  <Link to="/stations/$id" params={{ id }}>
                    {name}
                  </Link>
                </th>
                {weeks.map(([week]) => {
                  const cell = use.find((one) => one.machine === id && one.week === week);
                  if (!cell) return <td key={week} />;
                  const share = cell.possible === 0 ? 0 : cell.used / cell.possible;
                  return (
                    <td key={week}>
                      <Link className="cell-link" to="/" search={{ from: cell.start, until: cell.end, machine: id }}>
                        <span className="gauge">
                          <svg width="100%" height="8" preserveAspectRatio="none" viewBox="0 0 100 8" aria-hidden="true">
                            <rect width="100" height="8" fill="var(--night)" />
                            <rect width={Math.min(100, share * 100)} height="8" fill="var(--held)" />
                          </svg>
                          <span>{cell.possible === 0 ? w.none : w.of(hours(cell.used), hours(cell.possible))}</span>
                        </span>
                      </Link>
                    </td>
                  );
                })}
                {idle === null || rates === null ? null : (
                  <td className="number">
                    {idle.has(id)
                      ? moneyText(idle.get(id) ?? 0, rates.currency)
                      : rates.machineHour[id] === undefined
                        ? w.noRate
                        : w.notIdle}
                  </td>
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <NightProposals problem={problem} plan={plan} revision={view.draft.revision} />
      <div style={{ marginTop: 14 }}>
        <Notice kind="warn">{w.caution}</Notice>
      </div>
    </Page>
  );
}
