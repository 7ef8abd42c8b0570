/**
 * transferEarly: with transfer lots of q pieces, piece i of the next operation begins no earlier than pieces 1 to
 * min(n, ceil(i / q) x q) of the one before are worked; and the next may not end first. Pieces are numbered through the
 * lots. One conflict for each link and pair of lots; amount = minutes the worst piece, or the end, is too early.
 * O(pieces / q) for each pair of lots, times the stretches of their work.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import { ceilDivide } from "../ground/rounding.ts";
import type { Link } from "../orders/link.ts";
import type { Lot, PhaseOfLot } from "./lots.ts";
import { workedAfterPieces, workedMinute } from "./pieces.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration } from "./wording.ts";

export function checkTransfers(scene: Scene): void {
  const { look, lots } = scene;
  for (const { link, from: place, to: nextPlace } of look.links) {
    if (link.kind !== "transfer" || lots.isLeftOut(link.from) || lots.isLeftOut(link.to)) continue;
    const before = lots.at[place] ?? [];
    const next = lots.at[nextPlace] ?? [];
    for (const from of before) {
      for (const to of next) checkPair(scene, link, from, to, isLast(before, from) && isLast(next, to));
    }
  }
}

/** The lot with which the operation ends. */
const isLast = (lots: readonly Lot[], lot: Lot): boolean =>
  lots.reduce((last, other) => (other.end >= last.end ? other : last)) === lot;

function checkPair(scene: Scene, link: Link & { kind: "transfer" }, from: Lot, to: Lot, areLast: boolean): void {
  if (to.state === "done" || from.mode === null || to.mode === null) return;
  const early: Interval[] = [];
  const pieces = to.operation.pieces;
  for (let i = 1; i <= to.pieces; ) {
    const group = ceilDivide(to.piecesBefore + i, link.pieces);
    const lastOfGroup = Math.min(pieces, group * link.pieces);
    const begin = pieceBegin(scene, to, i);
    const out = piecesOut(scene, from, lastOfGroup - from.piecesBefore);
    if (begin !== null && out !== null && begin < out) early.push([begin, out]);
    // The pieces of a group wait for the same ones, so the first that begins from now on tells.
    i = begin === null ? i + 1 : Math.max(i, lastOfGroup - to.piecesBefore) + 1;
  }
  if (areLast && to.end < from.end) early.push([to.end, from.end]);
  const first = early[0];
  if (first === undefined) return;
  const [begin, out] = early.reduce((worst, next) => (next[1] - next[0] > worst[1] - worst[0] ? next : worst), first);
  const { at, name, write } = scene;
  const what = begin === to.end && out === from.end ? "ends" : "takes up a piece";
  const sentence = `${name(to.operation)} ${what} at ${at(begin)}, ${sayDuration(out - begin)} before ${name(from.operation)} has it ready at ${at(out)}.`;
  write(conflictOf("transferEarly", [from.operation.id, to.operation.id], link.id, [begin, out], out - begin, sentence));
}

const phaseOfPieces = (lot: Lot): PhaseOfLot | undefined => lot.phases.find(({ phase }) => phase.work.kind === "perPiece");

/** When the lot's piece i begins; null: it has begun before now, or the plan works it nowhere. */
function pieceBegin(scene: Scene, lot: Lot, i: number): Minute | null {
  const phase = phaseOfPieces(lot);
  if (phase === undefined) return null;
  if (phase.current && i === 1) return null;
  const offset = workedAfterPieces(scene, phase, i - 1);
  if (offset < 0) return null;
  return workedMinute(phase.work, offset);
}

/** When the lot's first `count` pieces are all out; null: out before now, or none of them is in this lot. */
function piecesOut(scene: Scene, lot: Lot, count: number): Minute | null {
  const phase = phaseOfPieces(lot);
  if (phase === undefined || count < 1) return null;
  const worked = workedAfterPieces(scene, phase, Math.min(count, lot.pieces));
  if (worked <= 0) return null;
  const last = workedMinute(phase.work, worked - 1);
  return last === null ? lot.end : last + 1;
}
