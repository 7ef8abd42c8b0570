/** The list of one machine: what runs, then the next days. Made to be printed and pinned up. */
import { Link } from "@tanstack/react-router";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { Machine } from "../../../src/core/plant/machine.ts";
import { REPORTERS } from "../../client/reports.ts";
import { useMay, useSiteTime } from "../../client/shop.ts";
import { kindOfPhase, operationLabel } from "../../present/segments.ts";
import { words } from "../../words/words.ts";
import { DoneButton, RunningButtons, StartButton } from "./report-buttons.tsx";
import { doneLately, entryName, STEP_NAMES, type StationDone, type StationEntry, stationEntries } from "./station-model.ts";

const w = words.stations;
/** Minutes that what has ended stays in sight, to be taken back. */
const LATELY = 1440;
/** Less than that is the end of a shift, not a night run. */
const ALONE_WORTH_SAYING = 60;

export function StationSheet({
  machine,
  view,
  days,
  heading,
}: {
  readonly machine: Machine;
  readonly view: PlanView;
  readonly days: number;
  /** On paper with many others: under its own heading, without buttons. */
  readonly heading: boolean;
}) {
  const time = useSiteTime();
  const entries = stationEntries(view, machine.id);
  const today = time.clock.shownAt(time.now).day;
  const until = time.clock.minuteAt(today + days, 0);
  const shown = entries.filter((entry) => !entry.running && entry.start < until);
  const running = entries.filter((entry) => entry.running);
  const next = entries.find((entry) => !entry.running);
  const byDay = new Map<number, StationEntry[]>();
  for (const entry of shown) {
    const day = Math.max(today, time.clock.shownAt(entry.start).day);
    byDay.set(day, [...(byDay.get(day) ?? []), entry]);
  }
  const may = useMay(REPORTERS);
  const reports = may && !heading;
  const lately = reports ? doneLately(view, machine.id, time.now - LATELY) : [];
  const closures = machine.closures.filter(({ start, end }) => end > time.now && start < until);
  return (
    <section className="station">
      {heading ? <h2 style={{ margin: "20px 0 8px" }}>{machine.name}</h2> : null}
      {running.map((entry) => (
        <div key={entry.key} className="station-now">
          <span className={entry.state?.working === false ? "tag tag-late" : "tag tag-running"}>
            {entry.state?.working === false ? w.stands : w.running}
          </span>
          <b>
            {entry.order.id} {entry.order.name}
          </b>
          <span>{operationLabel(entry.operation)}</span>
          {entry.state === null ? null : <PhaseLeft entry={entry} />}
          <span className="quiet">{(entry.state?.working === false ? w.plannedTo : w.runsUntil)(time.short(entry.end))}</span>
          {entry.assumed ? <span className="tag">{w.assumed}</span> : null}
          <Steps entry={entry} />
          {heading ? null : <RunningButtons entry={entry} />}
        </div>
      ))}
      {running.length === 0 ? <p className="quiet">{w.nothingNow}</p> : null}
      {shown.length === 0 && closures.length === 0 ? (
        <p className="quiet">
          {w.nothing} {next === undefined ? null : w.nothingThen(time.dayTime(next.start), entryName(next))}
        </p>
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
                {reports ? (
                  <th scope="col" className="no-print">
                    {w.columns.report}
                  </th>
                ) : null}
              </tr>
            </thead>
            {[...byDay].map(([day, list]) => (
              <tbody key={day} className="keep-together">
                <tr className="day-head">
                  <td colSpan={reports ? 6 : 5}>
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
                      {entry.alone < ALONE_WORTH_SAYING ? null : (
                        <>
                          {" "}
                          <span className="tag">{w.alone(entry.alone)}</span>
                        </>
                      )}
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
                    {reports ? (
                      <td className="no-print">
                        <StartButton entry={entry} running={running[0] ?? null} first={entry === shown[0]} />
                      </td>
                    ) : null}
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
      {lately.length > 0 ? <Lately list={lately} /> : null}
    </section>
  );
}

function PhaseLeft({ entry }: { readonly entry: StationEntry }) {
  const { state } = entry;
  const phase = state === null ? undefined : entry.mode.phases[state.phase];
  return state === null || phase === undefined ? null : (
    <span>{w.phaseLeft(STEP_NAMES[kindOfPhase(phase)], state.remaining)}</span>
  );
}

function Lately({ list }: { readonly list: readonly StationDone[] }) {
  const time = useSiteTime();
  return (
    <div className="section no-print">
      <div className="section-head">
        <h2>{w.report.lately}</h2>
      </div>
      <table className="table station-list">
        <thead>
          <tr>
            <th scope="col">{w.report.latelyColumns.ended}</th>
            <th scope="col">{w.report.latelyColumns.operation}</th>
            <th scope="col">{w.report.latelyColumns.pieces}</th>
            <th scope="col">{w.columns.report}</th>
          </tr>
        </thead>
        <tbody>
          {list.map((done) => (
            <tr key={done.key}>
              <td className="nowrap strong">{time.dayTime(done.lot.end)}</td>
              <td>
                <b>{done.order.id}</b> {done.order.name}
                <br />
                {operationLabel(done.operation)} {done.assumed ? <span className="tag">{w.assumed}</span> : null}
              </td>
              <td>{w.report.good(done.lot.pieces - (done.lot.scrap ?? 0), done.lot.pieces)}</td>
              <td>
                <DoneButton done={done} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
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
