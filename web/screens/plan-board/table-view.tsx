/** The board as rows: everything it shows, sortable, filterable, copyable, with "Move" on every row. Also the view for assistive technology. */
import { useMemo, useState } from "react";
import type { Operation } from "../../../src/core/orders/operation.ts";
import type { Bar } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { canBeLifted } from "../../board/lift.ts";
import { toast } from "../../parts/toast.tsx";
import { differenceText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import type { BoardController } from "./board-controller.ts";
import { machinesOfBar, phasesText } from "./describe.ts";
import { useBoard } from "./use-board.ts";

type Row = {
  readonly key: string;
  readonly bar: Bar | null;
  readonly operation: Operation;
  readonly machine: string;
  readonly number: string;
  readonly order: string;
  readonly start: number;
  readonly end: number;
  readonly phases: string;
  readonly state: string;
  readonly conflicts: readonly number[];
  readonly due: number | null;
  readonly late: number;
  readonly moved: boolean;
};

type Column = "machine" | "number" | "order" | "start" | "end" | "state" | "conflicts" | "due" | "late";
type Filter = "open" | "all" | "conflicts" | "late" | "moved" | "unplanned";
/** A table of thousands of rows is slow to build and nobody reads it; the filters narrow it. */
const ROWS_MAX = 600;
const LAST = Number.MAX_SAFE_INTEGER;

function rowsOf(model: BoardModel): readonly Row[] {
  const { shop } = model;
  const lateOf = new Map(model.late.map(({ order, late }) => [order.id, late]));
  const onBoard = model.bars.map((bar): Row => {
    const was = bar.state === "planned" ? shop.published?.get(bar.operation.id)?.lots[bar.lot] : undefined;
    return {
      key: bar.key,
      bar,
      operation: bar.operation,
      machine: machinesOfBar(model, bar),
      number: bar.number,
      order: bar.order.name,
      start: bar.start,
      end: bar.end,
      phases: phasesText(bar),
      state: words.board.states[bar.state],
      conflicts: bar.conflicts.map((index) => index + 1),
      due: bar.order.due,
      late: lateOf.get(bar.order.id) ?? 0,
      moved:
        bar.state === "planned" &&
        shop.published !== null &&
        (was === undefined || was.start !== bar.start || was.end !== bar.end || was.mode !== bar.mode.id),
    };
  });
  const missing = model.conflicts.unplanned.flatMap(({ number, conflict }): Row[] => {
    const operation = shop.operation.get(conflict.operations[0] ?? "");
    const order = operation ? shop.order.get(operation.order) : undefined;
    if (!operation || !order) return [];
    return [
      {
        key: `missing-${operation.id}`,
        bar: null,
        operation,
        machine: "",
        number: operation.id,
        order: order.name,
        start: LAST,
        end: LAST,
        phases: "",
        state: words.board.panel.notPlanned,
        conflicts: [number],
        due: order.due,
        late: lateOf.get(order.id) ?? 0,
        moved: false,
      },
    ];
  });
  return [...onBoard, ...missing];
}

const PASSES: Readonly<Record<Filter, (row: Row) => boolean>> = {
  all: () => true,
  open: (row) => row.bar?.state !== "done",
  conflicts: (row) => row.conflicts.length > 0,
  late: (row) => row.late > 0,
  moved: (row) => row.moved,
  unplanned: (row) => row.bar === null,
};

export function TableView({
  controller,
  onMove,
  onShow,
}: {
  readonly controller: BoardController;
  readonly onMove: (operation: Operation) => void;
  readonly onShow: (bar: Bar) => void;
}) {
  const model = useBoard(controller, "model");
  const mayEdit = useBoard(controller, "mayEdit");
  const [sort, setSort] = useState<{ readonly column: Column; readonly down: boolean }>({ column: "start", down: false });
  const [filter, setFilter] = useState<Filter>("open");
  const [text, setText] = useState("");
  const { table } = words.board;
  const all = useMemo(() => rowsOf(model), [model]);
  const shown = useMemo(() => {
    const wanted = text.toLowerCase().split(/\s+/);
    const value = (row: Row): string | number =>
      sort.column === "conflicts" ? (row.conflicts[0] ?? LAST) : sort.column === "due" ? (row.due ?? LAST) : row[sort.column];
    const kept = all.filter(
      (row) =>
        PASSES[filter](row) &&
        wanted.every((word) =>
          `${row.machine} ${row.number} ${row.order} ${row.operation.name} ${row.state}`.toLowerCase().includes(word),
        ),
    );
    return kept.sort((a, b) => {
      const x = value(a);
      const y = value(b);
      const way =
        typeof x === "number" && typeof y === "number" ? x - y : String(x).localeCompare(String(y), undefined, { numeric: true });
      return (sort.down ? -way : way) || a.start - b.start || a.key.localeCompare(b.key);
    });
  }, [all, filter, text, sort]);
  const { time } = model.shop;
  const columns: readonly (readonly [Column, string, boolean])[] = [
    ["machine", table.machine, false],
    ["number", table.operation, false],
    ["order", table.order, false],
    ["start", table.start, true],
    ["end", table.end, true],
    ["state", table.state, false],
    ["conflicts", table.conflict, false],
    ["due", table.due, true],
    ["late", table.late, true],
  ];
  const copy = (): void => {
    const head = [...columns.map(([, label]) => label), table.phases].join("\t");
    const lines = shown.map((row) =>
      [
        row.machine,
        row.number,
        row.order,
        row.bar ? time.dayTime(row.start) : "",
        row.bar ? time.dayTime(row.end) : "",
        row.state,
        row.conflicts.join(" "),
        row.due === null ? "" : time.dueText(row.due),
        row.late > 0 ? differenceText(row.late) : "",
        row.phases,
      ].join("\t"),
    );
    void navigator.clipboard?.writeText([head, ...lines].join("\n")).then(() => toast(table.copied));
  };
  return (
    <div className="board-table">
      <div className="filters">
        <div className="field">
          <label htmlFor="table-only">{table.only}</label>
          <select id="table-only" value={filter} onChange={(event) => setFilter(event.target.value as Filter)}>
            <option value="open">{table.open}</option>
            <option value="all">{table.all}</option>
            <option value="conflicts">{table.conflictsOnly}</option>
            <option value="late">{table.lateOnly}</option>
            <option value="moved">{table.movedOnly}</option>
            <option value="unplanned">{table.unplanned}</option>
          </select>
        </div>
        <div className="field field-search">
          <label htmlFor="table-filter">{table.filter}</label>
          <input id="table-filter" type="search" value={text} onChange={(event) => setText(event.target.value)} />
        </div>
        <p className="quiet" role="status">
          {table.count(shown.length, all.length)}
          {shown.length > ROWS_MAX ? ` ${table.cut(ROWS_MAX)}` : ""}
        </p>
        <button type="button" className="button" onClick={copy}>
          {table.export}
        </button>
      </div>
      <div className="table-frame">
        <table className="table">
          <caption className="visually-hidden">{table.caption}</caption>
          <thead>
            <tr>
              {columns.map(([column, label, number]) => (
                <th
                  key={column}
                  scope="col"
                  className={number ? "number" : undefined}
                  aria-sort={sort.column === column ? (sort.down ? "descending" : "ascending") : "none"}
                >
                  <button
                    type="button"
                    className="sort"
                    data-on={sort.column === column || undefined}
                    onClick={() => setSort({ column, down: sort.column === column && !sort.down })}
                  >
                    {label}
                    {sort.column === column ? (sort.down ? " ↓" : " ↑") : ""}
                  </button>
                </th>
              ))}
              <th scope="col">{table.phases}</th>
              <th scope="col">
                <span className="visually-hidden">{table.move}</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {shown.slice(0, ROWS_MAX).map((row) => (
              <tr key={row.key}>
                <td>{row.machine}</td>
                <th scope="row" className="cell">
                  {row.bar ? (
                    <button type="button" className="board-link" onClick={() => row.bar && onShow(row.bar)} title={table.show}>
                      {row.number}
                    </button>
                  ) : (
                    row.number
                  )}
                </th>
                <td>{row.order}</td>
                <td className="number">{row.bar ? time.short(row.start) : ""}</td>
                <td className="number">{row.bar ? time.short(row.end) : ""}</td>
                <td>{row.state}</td>
                <td>
                  {row.conflicts.map((number) => (
                    <span key={number} className="balloon">
                      {number}
                    </span>
                  ))}
                </td>
                <td className="number">{row.due === null ? "" : time.dueText(row.due)}</td>
                <td className={row.late > 0 ? "number late" : "number"}>{row.late > 0 ? differenceText(row.late) : ""}</td>
                <td className="quiet">{row.phases}</td>
                <td>
                  {mayEdit && (row.bar === null || canBeLifted(row.bar)) ? (
                    <button
                      type="button"
                      className="button button-small"
                      onClick={() => onMove(row.operation)}
                      aria-label={`${table.move} ${row.number}`}
                    >
                      {table.move}
                    </button>
                  ) : null}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </div>
  );
}
