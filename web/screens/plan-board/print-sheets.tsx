/**
 * The board on paper: its pictures, a sheet each, with title block and legend, and behind them the list of conflicts by their numbers, as
 * they stand in the balloons. Only seen when printed.
 */
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { Conflict } from "../../../src/core/check/conflict.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { words } from "../../words/words.ts";
import { machinesOfBar } from "./describe.ts";
import { Legend } from "./legend.tsx";
import { Balloon } from "./marks.tsx";
import { TitleFacts } from "./title-block.tsx";

type PrintSheetsProps = {
  readonly view: PlanView;
  readonly model: BoardModel;
  readonly unsent: number;
  readonly now: number;
  readonly sheets: readonly string[];
};

export function PrintSheets({ view, model, unsent, now, sheets }: PrintSheetsProps) {
  const { tools, title } = words.board;
  const printed = model.shop.time.dayTime(now);
  const shop = model.shop.problem.name;
  const facts = <TitleFacts view={view} model={model} unsent={unsent} onTrouble={() => undefined} />;
  return (
    <>
      {sheets.map((sheet, i) => (
        <section className="print-sheet" key={sheet.length + sheet.slice(-40)}>
          <div className="board-title">
            {facts}
            <p>{tools.sheet(shop, printed, i + 1, sheets.length)}</p>
          </div>
          <img src={sheet} alt={title} />
          <Legend drawn />
        </section>
      ))}
      {model.conflicts.count > 0 ? (
        <section className="print-sheet">
          <div className="board-title">
            {facts}
            <p>{tools.conflictSheet(shop, printed)}</p>
          </div>
          <ConflictTable model={model} />
        </section>
      ) : null}
    </>
  );
}

function ConflictTable({ model }: { readonly model: BoardModel }) {
  const { kinds, table, panel } = words.board;
  const { time } = model.shop;
  const row = (number: number, conflict: Conflict, placed: boolean) => (
    <tr key={number}>
      <td>{placed ? <Balloon number={number} /> : number}</td>
      <td>
        <strong>{kinds[conflict.kind]}</strong>
      </td>
      <td>{conflict.operations.join(", ")}</td>
      <td>{placed ? machinesOf(model, conflict) : panel.notPlanned}</td>
      <td>{placed ? time.dayTime(conflict.interval[0]) : ""}</td>
      <td>{conflict.sentence}</td>
    </tr>
  );
  return (
    <table className="table">
      <thead>
        <tr>
          <th scope="col">{table.number}</th>
          <th scope="col">{table.conflict}</th>
          <th scope="col">{table.operation}</th>
          <th scope="col">{table.machine}</th>
          <th scope="col">{table.from}</th>
          <th scope="col">{table.sentence}</th>
        </tr>
      </thead>
      <tbody>
        {model.conflicts.placed.map(({ number, conflict }) => row(number, conflict, true))}
        {model.conflicts.unplanned.map(({ number, conflict }) => row(number, conflict, false))}
      </tbody>
    </table>
  );
}

/** Where the balloons with this number stand. */
function machinesOf(model: BoardModel, conflict: Conflict): string {
  const index = model.conflicts.placed.findIndex((placed) => placed.conflict === conflict);
  const bars = model.bars.filter((bar) => bar.conflicts.includes(index));
  return [...new Set(bars.map((bar) => machinesOfBar(model, bar)))].join(", ");
}
