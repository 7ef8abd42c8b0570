/** The panel: the chosen order and operation, the conflicts with one-click first fits, work to place, late orders. */
import { Link } from "@tanstack/react-router";
import { useEffect, useState } from "react";
import type { Conflict } from "../../../src/core/check/conflict.ts";
import type { Operation } from "../../../src/core/orders/operation.ts";
import { type Bar, lookNameOf } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { canBeLifted } from "../../board/lift.ts";
import { barsOfOrder } from "../../board/neighbours.ts";
import { differenceText, durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import type { BoardController } from "./board-controller.ts";
import { ChainPart, HowSurePart, SlackLine } from "./chain-part.tsx";
import { lookName, machinesOfBar } from "./describe.ts";
import { Balloon } from "./marks.tsx";
import { useBoard } from "./use-board.ts";

/** Longer lists are cut with a way to the table, so the panel never outgrows the screen by much. */
const LIST_MAX = 12;

export type PanelActs = {
  readonly move: (operation: Operation) => void;
  readonly pin: (bar: Bar) => void;
  readonly remove: (bar: Bar) => void;
  /** Something went wrong with this operation. */
  readonly wrong: (about: { readonly operation: string }) => void;
  readonly startAt: (operation: Operation, mode: string, minute: number) => void;
  readonly show: (bar: Bar) => void;
  readonly table: () => void;
  readonly cannotHold: () => void;
  readonly close: () => void;
};

export function SidePanel({
  controller,
  acts,
  heading,
}: {
  readonly controller: BoardController;
  readonly acts: PanelActs;
  readonly heading: React.RefObject<HTMLHeadingElement | null>;
}) {
  const model = useBoard(controller, "model");
  const chosenOrder = useBoard(controller, "chosenOrder");
  const chosenKey = useBoard(controller, "chosenKey");
  const mayEdit = useBoard(controller, "mayEdit");
  const bar = chosenKey === null ? undefined : model.byKey.get(chosenKey);
  const { panel } = words.board;
  return (
    <aside className="board-panel" aria-label={words.board.tools.panel}>
      <button type="button" className="icon-button board-panel-close" aria-label={panel.close} onClick={acts.close}>
        ✕
      </button>
      {chosenOrder === null ? (
        <h2 ref={heading} tabIndex={-1} className="board-panel-hint">
          {panel.choose}
        </h2>
      ) : (
        <OrderPart controller={controller} model={model} order={chosenOrder} chosen={bar} heading={heading} show={acts.show} />
      )}
      {bar ? <OperationPart model={model} bar={bar} mayEdit={mayEdit} acts={acts} /> : null}
      {bar ? <SlackLine controller={controller} bar={bar} /> : null}
      <ChainPart controller={controller} show={acts.show} />
      <Conflicts controller={controller} model={model} acts={acts} mayEdit={mayEdit} />
      <ToPlace controller={controller} model={model} acts={acts} mayEdit={mayEdit} />
      <LateOrders model={model} acts={acts} />
      <HowSurePart model={model} show={(order) => controller.chooseOrder(order)} />
    </aside>
  );
}

type OrderPartProps = {
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly order: string;
  readonly chosen: Bar | undefined;
  readonly heading: React.RefObject<HTMLHeadingElement | null>;
  readonly show: (bar: Bar) => void;
};

function OrderPart({ controller, model, order: id, chosen, heading, show }: OrderPartProps) {
  const mayEdit = useBoard(controller, "mayEdit");
  const { panel } = words.board;
  const { time } = model.shop;
  const order = model.shop.order.get(id);
  if (!order) return null;
  const done = model.completion.get(id);
  const late = order.due !== null && done ? done.end - order.due : 0;
  const bars = barsOfOrder(model, id);
  const planned = new Set(bars.map(({ operation }) => operation.id));
  const missing = (model.shop.ofOrder.get(id) ?? []).filter((operation) => !planned.has(operation.id));
  return (
    <section>
      <h2 ref={heading} tabIndex={-1}>
        {order.id} {order.name}
      </h2>
      <p className="quiet">
        {order.due === null ? panel.noDue(order.quantity) : panel.due(order.quantity, time.dueText(order.due))}
      </p>
      {done ? (
        <p className={late > 0 ? "late" : undefined}>
          {late > 0
            ? panel.endsLate(time.short(done.end), late)
            : late < 0 && order.due !== null
              ? panel.endsEarly(time.short(done.end), -late)
              : panel.ends(time.short(done.end))}
        </p>
      ) : null}
      {done && !done.whole ? <p className="late">{panel.notWhole}</p> : null}
      <HeldNote model={model} order={id} />
      <p className="row">
        <Link to="/orders/$id" params={{ id: order.id }}>
          {panel.openOrder}
        </Link>
        {mayEdit ? (
          <Link to="/fit" search={{ order: order.id }} title={words.fit.linkTitle}>
            {words.fit.link}
          </Link>
        ) : null}
        <button
          type="button"
          className="button button-small"
          onClick={() => controller.showChain({ kind: "order", order: order.id })}
        >
          {words.howSure.board.explain}
        </button>
      </p>
      <h3>{panel.operations}</h3>
      <ul className="board-list">
        {bars.map((bar) => (
          <li key={bar.key} data-chosen={bar.key === chosen?.key || undefined}>
            <button type="button" onClick={() => show(bar)}>
              <span>{bar.number.replace(`${order.id}/`, "")}</span>
              <span>{machinesOfBar(model, bar)}</span>
              <span className="number">{time.short(bar.start)}</span>
            </button>
          </li>
        ))}
        {missing.map((operation) => (
          <li key={operation.id}>
            <span className="board-list-row quiet">
              <span>{operation.id.replace(`${order.id}/`, "")}</span>
              <span>{operation.name}</span>
              <span className="number">{panel.notPlanned}</span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function HeldNote({ model, order }: { readonly model: BoardModel; readonly order: string }) {
  const hold = model.shop.held.get(order);
  if (!hold) return null;
  return (
    <p>
      {words.fit.heldHere(model.shop.time.short(hold.until), hold.heldBy)} {hold.note}{" "}
      <Link to="/fit">{words.fit.holdsLink}</Link>
    </p>
  );
}

function OperationPart({
  model,
  bar,
  mayEdit,
  acts,
}: {
  readonly model: BoardModel;
  readonly bar: Bar;
  readonly mayEdit: boolean;
  readonly acts: PanelActs;
}) {
  const { panel } = words.board;
  const { time, published } = model.shop;
  const was = bar.state === "planned" ? published?.get(bar.operation.id)?.lots[bar.lot] : undefined;
  const movable = mayEdit && canBeLifted(bar);
  const crews = new Set(
    (model.planned.get(bar.operation.id)?.lots ?? []).flatMap((lot) => lot.phases.flatMap((phase) => phase.crews)),
  );
  return (
    <section>
      <h3>{panel.operation(bar.operation.name, machinesOfBar(model, bar))}</h3>
      <table className="board-phases">
        <tbody>
          {bar.segments.map((segment, index) => (
            <tr key={`${segment.look}-${segment.start}`}>
              <th scope="row">{lookName(lookNameOf(bar.segments, index))}</th>
              <td>{time.short(segment.start)}</td>
              <td className="number">{durationText(segment.end - segment.start)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {crews.size > 0 ? (
        <p className="quiet">
          {panel.crew}: {[...crews].map((id) => model.shop.problem.crews.find((crew) => crew.id === id)?.name ?? id).join(", ")}
        </p>
      ) : null}
      {was && (was.start !== bar.start || was.mode !== bar.mode.id) ? (
        <p className="quiet">
          {panel.was(
            machinesOfBar(model, { mode: bar.operation.modes.find(({ id }) => id === was.mode) ?? bar.mode }),
            time.short(was.start),
          )}
        </p>
      ) : null}
      {bar.pinned ? <p>{panel.pinnedHere}</p> : null}
      {bar.frozen ? <p>{panel.frozenHere}</p> : null}
      {mayEdit && bar.state === "planned" ? (
        <div className="row">
          <button type="button" className="button" disabled={!movable} onClick={() => acts.move(bar.operation)}>
            {panel.move}
          </button>
          <button type="button" className="button" onClick={() => acts.pin(bar)} aria-keyshortcuts="P">
            {bar.pinned ? panel.unpin : panel.pin}
          </button>
          <button
            type="button"
            className="button button-plain"
            disabled={!movable}
            onClick={() => acts.remove(bar)}
            aria-keyshortcuts="Delete"
          >
            {panel.takeOut}
          </button>
        </div>
      ) : null}
      {mayEdit && bar.state !== "done" ? (
        <button
          type="button"
          className="button button-small"
          onClick={() => acts.wrong({ operation: bar.operation.id })}
          aria-keyshortcuts="W"
        >
          {words.trouble.open}
        </button>
      ) : null}
    </section>
  );
}

type ListProps = {
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly acts: PanelActs;
  readonly mayEdit: boolean;
};

function Conflicts({ controller, model, acts, mayEdit }: ListProps) {
  const { panel } = words.board;
  const { placed } = model.conflicts;
  return (
    <section aria-labelledby="board-conflicts">
      <h3 id="board-conflicts">{panel.conflicts}</h3>
      {placed.length === 0 ? <p className="quiet">{panel.noConflicts}</p> : null}
      <ol className="board-conflicts">
        {placed.slice(0, LIST_MAX).map(({ number, conflict }) => {
          const bar = barOf(model, conflict, number - 1);
          return (
            <li key={number}>
              <Balloon number={number} />
              <div>
                <button type="button" className="board-conflict" disabled={!bar} onClick={() => bar && acts.show(bar)}>
                  <strong>{words.board.kinds[conflict.kind]}</strong>
                  <span>{conflict.sentence}</span>
                </button>
                {mayEdit && bar && canBeLifted(bar) ? (
                  <FirstFit controller={controller} model={model} bar={bar} startAt={acts.startAt} />
                ) : null}
              </div>
            </li>
          );
        })}
      </ol>
      <More count={placed.length - LIST_MAX} table={acts.table} />
      {mayEdit && placed.length + model.conflicts.unplanned.length > 0 ? (
        <button type="button" className="button button-small" onClick={acts.cannotHold}>
          {words.cannotHold.ask}
        </button>
      ) : null}
    </section>
  );
}

/** The bar that can best be moved to settle a conflict: the last of those concerned that is free to move. */
function barOf(model: BoardModel, conflict: Conflict, index: number): Bar | undefined {
  const concerned = model.bars.filter((bar) => bar.conflicts.includes(index));
  const free = concerned.filter(canBeLifted).sort((a, b) => b.start - a.start);
  return free[0] ?? concerned[0] ?? model.bars.find((bar) => conflict.operations.includes(bar.operation.id));
}

/** Asked for, not computed for every conflict at once: the answer becomes the button. */
function FirstFit({
  controller,
  model,
  bar,
  startAt,
}: {
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly bar: Bar;
  readonly startAt: PanelActs["startAt"];
}) {
  const { panel } = words.board;
  const [fit, setFit] = useState<
    { readonly model: BoardModel; readonly mode: string | null; readonly minute: number | null } | "asked" | null
  >(null);
  const known = fit !== null && fit !== "asked" && fit.model === model ? fit : null;
  useEffect(() => {
    setFit((old) => (old !== null && old !== "asked" && old.model !== model ? null : old));
  }, [model]);
  if (known) {
    const { mode, minute } = known;
    if (mode === null || minute === null) return <p className="quiet">{panel.noFit}</p>;
    return (
      <button type="button" className="button button-small" onClick={() => startAt(bar.operation, mode, minute)}>
        {panel.placeAt(model.shop.time.short(minute))}
        {mode === bar.mode.id
          ? ""
          : `, ${machinesOfBar(model, { mode: bar.operation.modes.find(({ id }) => id === mode) ?? bar.mode })}`}
      </button>
    );
  }
  if (fit === "asked") return <p className="quiet">{panel.asking}</p>;
  const ask = (): void => {
    setFit("asked");
    const answers = new Map<string, number | null>();
    controller.fitsFor(
      bar.operation.id,
      bar.operation.modes.map(({ id }) => id),
      (mode, minute) => {
        answers.set(mode, minute);
        if (answers.size < bar.operation.modes.length) return;
        const best = [...answers].filter((entry): entry is [string, number] => entry[1] !== null).sort((a, b) => a[1] - b[1])[0];
        setFit({ model, mode: best?.[0] ?? null, minute: best?.[1] ?? null });
      },
    );
  };
  return (
    <button type="button" className="button button-small" onClick={ask}>
      {panel.firstFit}
    </button>
  );
}

function ToPlace({ model, acts, mayEdit }: ListProps) {
  const { panel } = words.board;
  const { unplanned } = model.conflicts;
  if (unplanned.length === 0) return null;
  return (
    <section aria-labelledby="board-to-place">
      <h3 id="board-to-place">{panel.toPlace}</h3>
      <ul className="board-conflicts">
        {unplanned.slice(0, LIST_MAX).map(({ number, conflict }, i, all) => {
          const operation = model.shop.operation.get(conflict.operations[0] ?? "");
          const order = operation ? model.shop.order.get(operation.order) : undefined;
          const before = model.shop.operation.get(all[i - 1]?.conflict.operations[0] ?? "");
          return (
            <li key={number}>
              <Balloon number={number} />
              <div>
                <span>
                  {operation?.id} {order?.name}: {operation?.name}
                </span>
                {mayEdit && operation ? (
                  <button type="button" className="button button-small" onClick={() => acts.move(operation)}>
                    {panel.place}
                  </button>
                ) : null}
                {mayEdit && order && before?.order !== order.id ? (
                  <Link to="/fit" search={{ order: order.id }} title={words.fit.linkTitle}>
                    {panel.fitWhole(order.id)}
                  </Link>
                ) : null}
              </div>
            </li>
          );
        })}
      </ul>
      <More count={unplanned.length - LIST_MAX} table={acts.table} />
    </section>
  );
}

function LateOrders({ model, acts }: { readonly model: BoardModel; readonly acts: PanelActs }) {
  const { panel } = words.board;
  return (
    <section aria-labelledby="board-late">
      <h3 id="board-late">{panel.lateOrders}</h3>
      {model.late.length === 0 ? <p className="quiet">{panel.noLate}</p> : null}
      <ul className="board-list">
        {model.late.slice(0, LIST_MAX).map(({ order, end, late, last }) => {
          const bar = model.bars.filter(({ operation }) => operation.id === last).at(-1);
          return (
            <li key={order.id}>
              <button type="button" onClick={() => bar && acts.show(bar)}>
                <span>
                  {order.id} {order.name}
                </span>
                <span className="number">{model.shop.time.short(end)}</span>
                <span className="number late">{differenceText(late)}</span>
              </button>
            </li>
          );
        })}
      </ul>
      <More count={model.late.length - LIST_MAX} table={acts.table} />
    </section>
  );
}

function More({ count, table }: { readonly count: number; readonly table: () => void }) {
  if (count <= 0) return null;
  return (
    <button type="button" className="board-link quiet" onClick={table}>
      {words.board.panel.more(count)}
    </button>
  );
}
