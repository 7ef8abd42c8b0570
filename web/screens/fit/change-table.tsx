/** What an answer changes, in words: each operation of the order and each other one that moves. */
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { differenceText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.fit;

/** What keeps begin and machine has other hours or people. */
const by = (minutes: number, stays: boolean): string => (minutes !== 0 ? differenceText(minutes) : stays ? w.sameBegin : "");

export function ChangeTable({
  fit,
  draft,
  problem,
  time,
}: {
  readonly fit: FitAnswer;
  readonly draft: Plan;
  readonly problem: Problem;
  readonly time: SiteTime;
}) {
  const c = w.changeColumns;
  const nth = new Map<string, number>();
  const own = fit.operations.map((one) => {
    const lot = nth.get(one.operation) ?? 0;
    nth.set(one.operation, lot + 1);
    const before = draft.operations.find(({ operation }) => operation === one.operation)?.lots[lot];
    return { ...one, lot, from: before?.start ?? null };
  });
  const named = (ids: readonly string[]): string =>
    ids.length === 0 ? w.bench : ids.map((id) => problem.machines.find((machine) => machine.id === id)?.name ?? id).join(" + ");
  return (
    <details className="fit-changes">
      <summary>{w.changesTable}</summary>
      <div className="table-frame">
        <table className="table">
          <thead>
            <tr>
              <th scope="col">{c.operation}</th>
              <th scope="col">{c.machine}</th>
              <th scope="col" className="number">
                {c.from}
              </th>
              <th scope="col" className="number">
                {c.to}
              </th>
              <th scope="col" className="number">
                {c.by}
              </th>
            </tr>
          </thead>
          <tbody>
            {own.map(({ operation, lot, from, start, machines }) => (
              <tr key={`${operation}#${lot}`}>
                <td>
                  <strong>{operation}</strong>
                </td>
                <td>{named(machines)}</td>
                <td className="number quiet">{from === null ? w.newInDraft : time.dayTime(from)}</td>
                <td className="number">{time.dayTime(start)}</td>
                <td className="number">{from === null || from === start ? "" : differenceText(start - from)}</td>
              </tr>
            ))}
            {fit.moved.map(({ operation, from, to, minutes, machinesBefore, machinesAfter }) => (
              <tr key={operation}>
                <td>{operation}</td>
                <td>
                  {named(machinesBefore) === named(machinesAfter)
                    ? named(machinesAfter)
                    : `${named(machinesBefore)} → ${named(machinesAfter)}`}
                </td>
                <td className="number">{from === null ? w.newInDraft : time.dayTime(from)}</td>
                <td className="number">{to === null ? words.orders.notPlanned : time.dayTime(to)}</td>
                <td className="number">
                  {by(minutes, from !== null && to !== null && named(machinesBefore) === named(machinesAfter))}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
