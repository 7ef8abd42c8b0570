/**
 * Transfer links: when each piece of the next operation may begin, from when pieces of the one before are worked.
 * Pieces are numbered through the lots by start; done pieces are out when their lot ended. Source: the planning problem, section 3.
 */
import { type DenseOp, FAR } from "./model.ts";
import { minuteAfterWorked, minuteOfNext, type PlacedPhase, type Placement, pieceMinutes, workedMinutes } from "./placement.ts";
import type { State } from "./state.ts";

function piecePhase(p: Placement): PlacedPhase | undefined {
  return p.phases.find((placed) => placed.phase.minutes < 0);
}

/** Worked minutes into the phase of pieces after which local piece i (from 1) is done, counted back from its end. */
function workedAtEnd(p: Placement, placed: PlacedPhase, piece: number): number {
  const seconds = placed.phase.secondsPerPiece;
  return workedMinutes(placed.stretches) - (pieceMinutes(seconds, p.pieces) - pieceMinutes(seconds, piece));
}

function lotsByStart(state: State, op: DenseOp): Placement[] {
  const lots: Placement[] = [];
  for (const item of op.items) {
    const p = state.placed[item];
    if (p) lots.push(p);
  }
  return lots.sort((a, b) => a.start - b.start || a.item - b.item);
}

/** Minute at which each piece of the operation is worked, in order; FAR where its lot is not placed. */
function outOfPieces(state: State, op: DenseOp): Int32Array {
  const out = new Int32Array(op.source.pieces).fill(FAR);
  let n = 0;
  for (const lot of op.source.progress.done) for (let i = 0; i < lot.pieces && n < out.length; i++) out[n++] = lot.end;
  for (const p of lotsByStart(state, op)) {
    const placed = piecePhase(p);
    for (let piece = 1; piece <= p.pieces && n < out.length; piece++) {
      const worked = placed ? workedAtEnd(p, placed, piece) : 0;
      out[n++] =
        placed && worked > 0
          ? minuteAfterWorked(placed.stretches, worked)
          : placed
            ? -FAR
            : p.phases.length > 0
              ? state.model.now
              : p.end;
    }
  }
  return out;
}

/** Earliest begin of pieces first+1 .. first+count of `op`, or null when no transfer link leads to it. */
export function pieceFloors(state: State, op: DenseOp, first: number, count: number): Int32Array | null {
  let floors: Int32Array | null = null;
  for (const link of op.before) {
    if (link.kind !== "transfer") continue;
    const from = state.model.ops[link.from]!;
    const out = outOfPieces(state, from);
    for (let i = 1; i < out.length; i++) if (out[i]! < out[i - 1]!) out[i] = out[i - 1]!;
    floors ??= new Int32Array(count).fill(-FAR);
    for (let i = 0; i < count; i++) {
      const number = Math.min(out.length, Math.ceil((first + i + 1) / link.pieces) * link.pieces);
      const ready = number > 0 ? out[number - 1]! : -FAR;
      if (ready < FAR && ready > floors[i]!) floors[i] = ready;
    }
  }
  return floors;
}

/** The minute before which the operation may not end: the end of what it follows by transfer. */
export function transferEnd(state: State, op: DenseOp): number {
  let latest = -FAR;
  for (const link of op.before) {
    if (link.kind !== "transfer") continue;
    for (const item of state.model.ops[link.from]!.items) {
      const p = state.placed[item];
      if (p && p.end > latest) latest = p.end;
    }
  }
  return latest;
}

/** Pieces of the operation that come before this lot: done ones and those of lots that start earlier. */
export function piecesBefore(state: State, op: DenseOp, item: number, start: number): number {
  let sum = op.donePieces;
  for (const other of op.items) {
    if (other === item) continue;
    const p = state.placed[other];
    if (p && (p.start < start || (p.start === start && other < item))) sum += p.pieces;
  }
  return sum;
}

/** Whether the placed lot begins a piece too early, or ends before what it follows. */
export function transferBroken(state: State, to: Placement): boolean {
  const op = state.model.ops[to.op]!;
  if (state.complete(op)) {
    const last = lotsByStart(state, op).reduce((latest, lot) => Math.max(latest, lot.end), to.end);
    if (last < transferEnd(state, op)) return true;
  }
  const placed = piecePhase(to);
  if (!placed) return false;
  const floors = pieceFloors(state, op, piecesBefore(state, op, to.item, to.start), to.pieces);
  if (floors === null) return false;
  for (let piece = 1; piece <= to.pieces; piece++) {
    const worked = piece === 1 && !to.running ? 0 : workedAtEnd(to, placed, piece - 1);
    if (worked < 0) continue;
    if (minuteOfNext(placed.stretches, worked) < floors[piece - 1]!) return true;
  }
  return false;
}
