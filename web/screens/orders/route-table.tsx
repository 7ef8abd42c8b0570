/** The operations of an order as the draft plans them, in rows: the readable twin of the drawing. */
import { Link } from "@tanstack/react-router";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { useSiteTime } from "../../client/shop.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { durationText } from "../../present/duration.ts";
import { minutesOf, operationNumber, type SegmentKind } from "../../present/segments.ts";
import { words } from "../../words/words.ts";
import type { OrderTimeline, TimelineLot } from "./order-timeline.ts";
import { WhyThen } from "./why-then.tsx";

const w = words.orders;
const NAMES: readonly (readonly [SegmentKind, string])[] = [
  ["setup", w.phaseNames.prepare],
  ["attended", w.phaseNames.attended],
  ["unattended", w.phaseNames.unattended],
  ["unload", w.phaseNames.clear],
];

const phasesText = (lot: TimelineLot): string =>
  NAMES.flatMap(([kind, name]) => {
    const minutes = minutesOf(lot.segments, kind);
    return minutes === 0 ? [] : [`${name.toLowerCase()} ${durationText(minutes)}`];
  }).join(", ");

export function RouteTable({ timeline, view }: { readonly timeline: OrderTimeline; readonly view: PlanView }) {
  const time = useSiteTime();
  const c = w.operationColumns;
  return (
    <div className="table-frame">
      <table className="table">
        <thead>
          <tr>
            <th scope="col">{c.number}</th>
            <th scope="col">{c.name}</th>
            <th scope="col">{c.machine}</th>
            <th scope="col">{c.phases}</th>
            <th scope="col" className="number">
              {c.start}
            </th>
            <th scope="col" className="number">
              {c.end}
            </th>
            <HeadCell label={c.waits} how={words.how.order.waits} number />
          </tr>
        </thead>
        <tbody>
          {timeline.rows.flatMap((row) => {
            const number = operationNumber(row.operation.id, timeline.order.id);
            const marks = (
              <>
                {row.operation.pin ? <span className="tag">{w.pinned}</span> : null}{" "}
                {row.frozen ? <span className="tag">{w.frozen}</span> : null}{" "}
                {row.conflicts.map((conflict) => (
                  <span key={conflict} className="balloon" role="img" aria-label={w.conflictsHere(1)}>
                    {conflict}
                  </span>
                ))}
              </>
            );
            if (row.lots.length === 0) {
              return [
                <tr key={row.operation.id}>
                  <td>{number}</td>
                  <td>
                    {row.operation.name} {marks}
                  </td>
                  <td colSpan={5} className="bad">
                    {w.notPlanned}
                  </td>
                </tr>,
              ];
            }
            return row.lots.map((lot, i) => (
              <tr key={`${row.operation.id}${lot.start}`}>
                <td>{i === 0 ? number : ""}</td>
                <td>
                  {row.lots.length > 1
                    ? `${row.operation.name}, ${words.stations.lot(i + 1, row.lots.length)}`
                    : row.operation.name}{" "}
                  {i === 0 ? marks : null}
                  {lot.state === "done" ? null : (
                    <WhyThen
                      view={view}
                      operation={row.operation.id}
                      start={lot.start}
                      name={`${row.operation.name}, ${time.dayTime(lot.start)}`}
                    />
                  )}
                </td>
                <td>
                  {machinesOf(lot).map(({ id, name }, j) => (
                    <span key={id}>
                      {j > 0 ? " + " : ""}
                      <Link to="/stations/$id" params={{ id }}>
                        {name}
                      </Link>
                    </span>
                  ))}
                  {lot.machines.length === 0 ? <span className="quiet">{w.fields.noMachine}</span> : null}
                </td>
                <td>
                  {lot.state === "done" ? (
                    <span className="tag tag-done">{w.states.done}</span>
                  ) : lot.state === "running" ? (
                    <>
                      <span className="tag tag-running">{w.states.running}</span> {phasesText(lot)}
                    </>
                  ) : (
                    phasesText(lot)
                  )}
                </td>
                <td className="number">{time.dayTime(lot.start)}</td>
                <td className="number">{time.dayTime(lot.end)}</td>
                <td className="number quiet">{waits(lot)}</td>
              </tr>
            ));
          })}
        </tbody>
      </table>
    </div>
  );
}

function waits(lot: TimelineLot): string {
  const minutes = minutesOf(lot.segments, "waiting") + minutesOf(lot.segments, "paused");
  return minutes === 0 ? "" : durationText(minutes);
}

/** Ids beside names, so that machines can be linked. */
function machinesOf(lot: TimelineLot): readonly { readonly id: string; readonly name: string }[] {
  return lot.machineIds.map((id, i) => ({ id, name: lot.machines[i] ?? id }));
}
