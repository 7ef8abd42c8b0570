/** How many good pieces the order can still give after what was reported bad, who makes the missing ones again, and the way to do so. */
import { Link } from "@tanstack/react-router";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { type GoodPieces, goodPieces } from "../../../src/core/track/good-pieces.ts";
import { Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";

const w = words.orders.goodPieces;

export function goodPiecesOf({ problem }: PlanView, orderId: string): GoodPieces | null {
  const order = problem.orders.find(({ id }) => id === orderId);
  if (!order) return null;
  return goodPieces(
    order,
    problem.operations.filter((operation) => operation.order === orderId),
    problem.links,
  );
}

/** The operation that lost most: what a person is most likely to speak of. */
export function lostMostAt({ problem }: PlanView, orderId: string): string | undefined {
  let most: { id: string; bad: number } | undefined;
  for (const { id, order, progress } of problem.operations) {
    if (order !== orderId) continue;
    const bad = progress.done.reduce((sum, { scrap = 0 }) => sum + scrap, 0);
    if (bad > (most?.bad ?? 0)) most = { id, bad };
  }
  return most?.id;
}

export function GoodPiecesNote({
  pieces: { lost, started, short },
  view,
  order,
  onMakeAgain,
}: {
  readonly pieces: GoodPieces;
  readonly view: PlanView;
  readonly order: string;
  /** null: this person may not. */
  readonly onMakeAgain: ((missing: number) => void) | null;
}) {
  if (short === 0) return null;
  const again = view.problem.orders.filter(({ id }) => id.startsWith(`${order} again`));
  const missing = short - again.reduce((sum, { quantity }) => sum + quantity, 0);
  return (
    <Notice
      kind="warn"
      title={w.short(short)}
      actions={
        missing > 0 && onMakeAgain ? (
          <button type="button" className="button" onClick={() => onMakeAgain(missing)}>
            {w.makeAgain}
          </button>
        ) : null
      }
    >
      {w.why(lost, started)}
      {again.length > 0 ? ` ${w.again} ` : null}
      {again.map(({ id, quantity }, i) => (
        <span key={id}>
          {i > 0 ? ", " : null}
          <Link to="/orders/$id" params={{ id }}>
            {id}
          </Link>{" "}
          ({words.orders.pieces(quantity)})
        </span>
      ))}
      {again.length > 0 ? "." : null}
    </Notice>
  );
}
