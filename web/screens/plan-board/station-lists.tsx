/** For paper: one list per machine, a page each. Only seen when printed. */
import type { BoardModel } from "../../board/board-model.ts";
import { words } from "../../words/words.ts";
import { phasesText } from "./describe.ts";

/** What a station needs to know for the next days. */
const DAYS_AHEAD = 7;

export function StationLists({ model }: { readonly model: BoardModel }) {
  const { table } = words.board;
  const { time, problem } = model.shop;
  return (
    <div className="print-lists">
      {model.lanes.rows.map((lane) => {
        const entry = model.lanes.list[lane];
        if (entry?.kind !== "machine") return null;
        const bars = (model.onLane[lane]?.bars ?? []).filter(
          (bar) => bar.end > problem.now && bar.start < problem.now + DAYS_AHEAD * 1440,
        );
        if (bars.length === 0) return null;
        return (
          <section key={entry.machine.id}>
            <h2>{entry.machine.name}</h2>
            <p>
              {problem.name}, {time.dayTime(problem.now)}
            </p>
            <table className="table">
              <thead>
                <tr>
                  <th scope="col">{table.start}</th>
                  <th scope="col">{table.end}</th>
                  <th scope="col">{table.operation}</th>
                  <th scope="col">{table.order}</th>
                  <th scope="col">{table.phases}</th>
                  <th scope="col">{table.conflict}</th>
                </tr>
              </thead>
              <tbody>
                {bars.map((bar) => (
                  <tr key={bar.key}>
                    <td>{time.dayTime(bar.start)}</td>
                    <td>{time.dayTime(bar.end)}</td>
                    <td>
                      {bar.number} {bar.operation.name}
                    </td>
                    <td>{bar.order.name}</td>
                    <td>{phasesText(bar)}</td>
                    <td>{bar.conflicts.map((index) => index + 1).join(", ")}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </section>
        );
      })}
    </div>
  );
}
