/** The list of one machine: what runs, then the next days. Made to be printed and pinned up. */
import { Link } from "@tanstack/react-router";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { Machine } from "../../../src/core/plant/machine.ts";
import { useSiteTime } from "../../client/shop.ts";
import { operationLabel } from "../../present/segments.ts";
import { words } from "../../words/words.ts";
import { type StationEntry, type StationStep, stationEntries } from "./station-model.ts";

const w = words.stations;
const STEP_NAMES: Readonly<Record<StationStep["kind"], string>> = {
  setup: words.orders.phaseNames.prepare,
  attended: words.orders.phaseNames.attended,
  unattended: words.orders.phaseNames.unattended,
  unload: words.orders.phaseNames.clear,
  waiting: words.load.parts.waiting,
  paused: words.load.parts.waiting,
  done: words.orders.states.done,
};

export function StationSheet({
  machine,
  view,
  days,
  heading,
}: {
  readonly machine: Machine;
  readonly view: PlanView;
  readonly days: number;
  readonly heading: boolean;
}) {
  const time = useSiteTime();
  const entries = stationEntries(view, machine.id);
  const today = time.clock.shownAt(time.now).day;
  const until = time.clock.minuteAt(today + days, 0);
  const shown = entries.filter((entry) => !entry.running && entry.start < until);
  const running = entries.filter((entry) => entry.running);
  const byDay = new Map<number, StationEntry[]>();
  for (const entry of shown) {
    const day = Math.max(today, time.clock.shownAt(entry.start).day);
    byDay.set(day, [...(byDay.get(day) ?? []), entry]);
  }
  const closures = machine.closures.filter(({ start, end }) => end > time.now && start < until);
  return (
    <section className="station">
      {heading ? <h2 style={{ margin: "20px 0 8px" }}>{machine.name}</h2> : null}
      {running.map((entry) => (
        <div key={entry.key} className="station-now">
          <span className="tag tag-running">{w.running}</span>
          <b>
            {entry.order.id} {entry.order.name}
          </b>
          <span>{operationLabel(entry.operation)}</span>
          <span className="quiet">{w.runsUntil(time.short(entry.end))}</span>
          <Steps entry={entry} />
        </div>
      ))}
      {running.length === 0 ? <p className="quiet">{w.nothingNow}</p> : null}
      {shown.length === 0 && closures.length === 0 ? (
        <p className="quiet">{w.nothing}</p>
      ) : (
        <div className="table-frame">
          <table className="table station-list">
            <thead>
              <tr>
                <th scope="col">{w.columns.start}</th>
                <th scope="col">{w.columns.operation}</th>
                <th scope="col">{w.columns.steps}</th>
                <th scope="col">{w.columns.fetch}</th>
                <th scope="col">{w.columns.end}</th>
              </tr>
            </thead>
            {[...byDay].map(([day, list]) => (
              <tbody key={day} className="keep-together">
                <tr className="day-head">
                  <td colSpan={5}>
                    {day === today ? `${w.today}, ${time.day(time.now)}` : time.day(time.clock.minuteAt(day, 0))}
                  </td>
                </tr>
                {list.map((entry) => (
                  <tr key={entry.key}>
                    <td className="nowrap strong">
                      {time.time(entry.start)}
                      {entry.overdue ? (
                        <span className="late">
                          {" "}
                          {time.clock.shownAt(entry.start).day === today ? w.overdue : time.dayTime(entry.start)}
                        </span>
                      ) : null}
                    </td>
                    <td>
                      <Link to="/orders/$id" params={{ id: entry.order.id }} className="strong">
                        {entry.order.id}
                      </Link>{" "}
                      {entry.order.name}
                      <br />
                      {operationLabel(entry.operation)}, {w.pieces(entry.pieces)}
                      {entry.lots > 1 ? `, ${w.lot(entry.lot, entry.lots)}` : ""}
                      {entry.with.length > 0 ? `, + ${entry.with.join(" + ")}` : ""}
                      {entry.order.due === null ? null : <span className="quiet"> {w.due(time.dueText(entry.order.due))}</span>}
                    </td>
                    <td>
                      <Steps entry={entry} />
                    </td>
                    <td>
                      {entry.family === null ? null : <div>{w.family(entry.family)}</div>}
                      {entry.fetch.map((thing) => (
                        <div key={thing}>{thing}</div>
                      ))}
                    </td>
                    <td className="nowrap">{time.dayTime(entry.end)}</td>
                  </tr>
                ))}
              </tbody>
            ))}
          </table>
        </div>
      )}
      {closures.length > 0 ? (
        <p style={{ marginTop: 8 }}>
          {closures.map(({ start, end, reason }) => (
            <span key={start} className="tag" style={{ marginRight: 8 }}>
              {words.load.parts.closed}: {reason} {time.dayTime(start)} - {time.dueText(end)}
            </span>
          ))}
        </p>
      ) : null}
    </section>
  );
}

function Steps({ entry }: { readonly entry: StationEntry }) {
  const time = useSiteTime();
  const day = time.clock.shownAt(entry.start).day;
  const clock = (minute: number): string =>
    !entry.running && time.clock.shownAt(minute).day === day ? time.time(minute) : time.short(minute);
  return (
    <span className="steps">
      {entry.steps.map((step) => (
        <span key={`${step.kind}${step.start}`}>
          <time>{clock(step.start)}</time>
          <span>{STEP_NAMES[step.kind]}</span>
          <span className="quiet">{step.crews.join(" + ")}</span>
        </span>
      ))}
    </span>
  );
}

/** Which plan the lists show; said on every sheet. */
export function PlanBasis({ view }: { readonly view: PlanView }) {
  const time = useSiteTime();
  const { published } = view;
  const basis =
    published === null
      ? w.draft
      : w.published(
          published.version,
          time.dayTime(time.clock.minuteOfInstant(Math.floor(Date.parse(published.publishedAt) / 60_000) * 60_000)),
        );
  return (
    <p className="quiet">
      {basis}. {w.printed(time.dayTime(time.now))}. {w.caution}
    </p>
  );
}
