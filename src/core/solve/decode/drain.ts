/**
 * Empties the bank: puts operations (and whole blocks) back, lowest rank first but never before what they follow, until nothing
 * is left, the plan has become worse than the limit, or the work budget is spent. Then lots whose setup was left stale are settled;
 * services of run-hour rules come last.
 */
import { NONE } from "./model.ts";
import { type Choosing, placeBlock, placeOperation, takeOff } from "./place-operation.ts";
import { placeServices } from "./services.ts";
import { type Bank, settleStale } from "./settle.ts";
import type { State } from "./state.ts";

/** Lower goes first. */
export type Rank = (op: number) => number;

export type DrainOutcome = "done" | "worse" | "spent";

/** A whole plan may wait in the bank: who wants to stop it is asked after so many placements. */
const STOP_CHECK_EVERY = 32;

export function drain(
  state: State,
  bank: Bank,
  rank: Rank,
  choosing: Choosing,
  limit: number,
  placementsMost: number,
  stale: number[] = [],
  shouldStop: (() => boolean) | null = null,
): DrainOutcome {
  const { model } = state;
  let placements = 0;
  const lost = new Set<number>();
  for (let services = 0; services < 4; services++) {
    while (bank.length > 0 || stale.length > 0) {
      if (bank.length === 0) {
        settleStale(state, stale, bank);
        if (state.partialValue > limit) return "worse";
        continue;
      }
      const op = model.ops[nextOperation(state, bank, rank)]!;
      if (op.block.length > 0) {
        for (let i = bank.length - 1; i >= 0; i--)
          if (model.ops[model.items[bank[i]!]!.op]!.block === op.block) bank.splice(i, 1);
        for (const member of op.block) takeOff(state, model.ops[member]!, bank);
        for (let i = bank.length - 1; i >= 0; i--)
          if (model.ops[model.items[bank[i]!]!.op]!.block === op.block) bank.splice(i, 1);
        placeBlock(state, op.block, choosing, bank);
        placements += op.block.length;
      } else {
        for (let i = bank.length - 1; i >= 0; i--) if (model.items[bank[i]!]!.op === op.index) bank.splice(i, 1);
        if (op.rule !== NONE) continue;
        if (!placeOperation(state, op, -0x3fffffff, choosing, bank)) {
          if (lost.has(op.index)) continue;
          lost.add(op.index);
        }
        placements++;
      }
      if (shouldStop !== null && placements % STOP_CHECK_EVERY === 0 && shouldStop()) return "spent";
      if (state.partialValue > limit) return "worse";
      if (placements > placementsMost) return "spent";
    }
    if (model.rules.length === 0) break;
    const before = state.mark();
    placeServices(state, choosing, bank);
    if (bank.length === 0 && state.mark() === before) break;
  }
  if (bank.length > 0) return "spent";
  return state.value > limit ? "worse" : "done";
}

/** The operation in the bank with the lowest rank that follows none of the others there. */
function nextOperation(state: State, bank: Bank, rank: Rank): number {
  const { model } = state;
  let best = -1;
  for (const item of bank) {
    const op = model.items[item]!.op;
    if (best < 0 || rank(op) < rank(best)) best = op;
  }
  // walk back along the links as long as something before it waits too
  for (let guard = 0; guard < 64; guard++) {
    let earlier = -1;
    for (const member of model.ops[best]!.block.length > 0 ? model.ops[best]!.block : [best]) {
      for (const link of model.ops[member]!.before) {
        const from = model.ops[link.from]!;
        if (from.index === best || (from.block.length > 0 && from.block === model.ops[best]!.block)) continue;
        if (bank.some((item) => model.items[item]!.op === from.index)) {
          earlier = from.index;
          break;
        }
      }
      if (earlier >= 0) break;
    }
    if (earlier < 0) return best;
    best = earlier;
  }
  return best;
}
