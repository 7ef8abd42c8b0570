/** Due list: what lapses when, what renews it, what stands or falls with it; and the rules by which upkeep comes again. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { type DueItem, dueList } from "../../../src/core/plan/due-list.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Page } from "../../parts/page.tsx";
import { Empty } from "../../parts/states.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { hoursText, numberText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { UpkeepRules } from "./upkeep-rules.tsx";

const w = words.upkeep;
const { upkeep: how } = words.how;
const DAY = 1440;

export function DuePage() {
  const view = useSuspenseQuery(planQuery).data;
  const time = useSiteTime();
  const problem = view.problem as Problem;
  const items = dueList(problem, view.draft.plan as Plan);
  const open = items.filter(({ state }) => state !== "covered");
  const first = items.find(({ lapses, state }) => lapses !== null && state !== "covered") ?? items[0];
  return (
    <Page
      title={w.title}
      about={w.about}
      figures={
        items.length === 0
          ? []
          : [
              { label: w.notCovered, value: numberText(open.length), how: how.notCovered },
              ...(first?.lapses == null
                ? []
                : [{ label: w.sooner, value: `${nameOf(problem, first)}, ${dayOf(time, first.lapses)}`, how: how.first }]),
            ]
      }
      actions={<HowComputed label={w.how} text={w.howText} />}
    >
      {items.length === 0 ? (
        <Empty
          title={w.noneTitle}
          actions={
            <Link className="button" to="/setup/$kind" params={{ kind: "machines" }}>
              {words.setup.kinds.machines.title}
            </Link>
          }
        >
          {w.none}
        </Empty>
      ) : (
        <div className="table-frame">
          <table className="table">
            <thead>
              <tr>
                <th scope="col">{w.columns.machine}</th>
                <th scope="col">{w.columns.what}</th>
                <HeadCell label={w.columns.lapses} how={how.lapses} />
                <th scope="col">{w.columns.state}</th>
                <th scope="col">{w.columns.task}</th>
                <HeadCell label={w.columns.blocked} how={how.blocked} />
              </tr>
            </thead>
            <tbody>
              {items.map((item) => (
                <DueRow key={item.key} item={item} problem={problem} time={time} />
              ))}
            </tbody>
          </table>
        </div>
      )}
      <UpkeepRules problem={problem} />
    </Page>
  );
}

const nameOf = (problem: Problem, { machine }: DueItem): string =>
  problem.machines.find(({ id }) => id === machine)?.name ?? machine;

/** A day counts to its 24:00, so a lapse at 00:00 is told as the day before. */
const dayOf = (time: SiteTime, minute: number): string =>
  time.clock.shownAt(minute).minutes === 0 ? time.day(minute - 1) : time.dayTime(minute);

function DueRow({ item, problem, time }: { readonly item: DueItem; readonly problem: Problem; readonly time: SiteTime }) {
  const task = item.task && problem.operations.find(({ id }) => id === item.task?.operation);
  return (
    <tr>
      <th scope="row">
        <Link to="/stations/$id" params={{ id: item.machine }}>
          {nameOf(problem, item)}
        </Link>
      </th>
      <td>
        {w.kinds[item.kind]} {item.kind === "calibration" ? item.name : null}
        {item.run ? (
          <div className="quiet">
            {w.runs(hoursText(item.run.counter), hoursText(item.run.limit))}
            {item.run.planned > 0 ? `, ${w.runsPlanned(hoursText(item.run.planned))}` : ""}
          </div>
        ) : null}
      </td>
      <td className="nowrap">
        {item.lapses === null ? (
          <span className="quiet">{w.notReached}</span>
        ) : (
          <>
            {dayOf(time, item.lapses)}
            <div className="quiet">{distance(item.lapses - time.now)}</div>
          </>
        )}
      </td>
      <td>
        <span className={STATE_TAGS[item.state]} title={w.stateHelp[item.state]}>
          {w.states[item.state]}
        </span>
        <span className="out-of-sight">{w.stateHelp[item.state]}</span>
      </td>
      <td>
        {item.task === null ? (
          <span className="quiet">{w.noTask}</span>
        ) : (
          <>
            <Link to="/orders/$id" params={{ id: task?.order ?? "" }}>
              {item.task.operation}
            </Link>{" "}
            {task?.name}
            <div className="quiet">{item.task.start === null ? w.toPlan : time.dayTime(item.task.start)}</div>
          </>
        )}
      </td>
      <td>
        {item.blocked[0] === undefined ? (
          <span className="quiet">{w.nothingBlocked}</span>
        ) : (
          <>
            <Link
              to="/"
              search={{ from: item.blocked[0].start - DAY / 2, until: item.blocked[0].start + 2 * DAY, machine: item.machine }}
              title={item.blocked.map(({ operation }) => operation).join(", ")}
            >
              {w.blocked(item.blocked.length)}
              <span className="out-of-sight">. {w.onBoard}</span>
            </Link>
            <div className="quiet">
              {item.blocked[0].operation}, {w.firstAt(time.dayTime(item.blocked[0].start))}
            </div>
          </>
        )}
      </td>
    </tr>
  );
}

const STATE_TAGS: Readonly<Record<DueItem["state"], string>> = {
  lapsed: "tag tag-late",
  none: "tag tag-unplanned",
  unplanned: "tag tag-unplanned",
  late: "tag tag-late",
  covered: "tag",
};

function distance(minutes: number): string {
  const size = Math.abs(minutes);
  const text = durationText(size >= DAY ? Math.floor(size / DAY) * DAY : size);
  return minutes >= 0 ? w.inWords(text) : w.ago(text);
}
