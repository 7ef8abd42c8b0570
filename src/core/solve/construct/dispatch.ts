/**
 * Builds a whole plan by dispatching: again and again the machine that could finish something first takes the most urgent
 * operation waiting for it (in the manner of Giffler and Thompson's active schedules, Operations Research 8, 1960), placed
 * exactly. Returns the order in which operations were committed, from which the same plan can be decoded again.
 */

import { linkFloor, startFloor } from "../decode/bounds.ts";
import { drain } from "../decode/drain.ts";
import { FAR, NONE, setupBetween } from "../decode/model.ts";
import { type Choosing, placeBlock, placeLean, placeOperation } from "../decode/place-operation.ts";
import type { Bank } from "../decode/settle.ts";
import type { State } from "../decode/state.ts";
import { type Estimates, type Rule, urgency } from "./priority.ts";

/** Commit order: first operation of each unit (a single operation or a block). */
export type CommitOrder = Int32Array;

/** An operation that may be placed next, with its best machine by estimate; `version` tells whether that still holds. */
type Waiting = { op: number; floor: number; start: number; end: number; setup: number; machine: number; version: number };

/** When each machine is free behind all that is placed, in which family, and how often that changed. */
type MachineFree = { readonly at: Float64Array; readonly version: Int32Array; readonly family: Int32Array };

export function dispatch(state: State, est: Estimates, rule: Rule, choosing: Choosing, shouldStop: () => boolean): CommitOrder {
  const { model } = state;
  const count = model.ops.length;
  const isFirst = (op: number): boolean => model.ops[op]!.block.length === 0 || model.ops[op]!.block[0] === op;
  const unitOf = (op: number): number => (model.ops[op]!.block.length === 0 ? op : model.ops[op]!.block[0]!);
  const openLinks = new Int32Array(count);
  const wanted = new Uint8Array(count);
  for (const op of model.ops) {
    if (op.rule === NONE && op.items.some((item) => state.pieces[item]! > 0 && state.placed[item] === null))
      wanted[unitOf(op.index)] = 1;
  }
  for (const link of model.links) {
    if (link.kind === "sameMachine") continue;
    const from = unitOf(link.from);
    const to = unitOf(link.to);
    if (from !== to && wanted[from] === 1) openLinks[to] = openLinks[to]! + 1;
  }
  const order: number[] = [];
  const bank: Bank = [];
  const free: MachineFree = {
    at: new Float64Array(model.machines.length).fill(model.now),
    version: new Int32Array(model.machines.length),
    family: Int32Array.from(model.machines, (machine) => state.familyBefore(machine.index, state.lists[machine.index]!.length)),
  };
  const waiting: Waiting[] = [];
  const admit = (op: number): void => {
    const dense = model.ops[op]!;
    waiting.push({
      op,
      start: 0,
      end: 0,
      setup: 0,
      machine: NONE,
      version: -1,
      floor: Math.max(startFloor(state, dense), dense.prepareEarly ? model.now : linkFloor(state, dense)),
    });
  };
  const left = new Uint8Array(wanted);
  for (let op = 0; op < count; op++) if (wanted[op] === 1 && isFirst(op) && openLinks[op] === 0) admit(op);

  const commit = (op: number): void => {
    const dense = model.ops[op]!;
    order.push(op);
    left[op] = 0;
    if (dense.block.length > 0) placeBlock(state, dense.block, choosing, bank);
    else placeOperation(state, dense, -FAR, choosing, bank);
    const members = dense.block.length > 0 ? dense.block : [op];
    for (const member of members) {
      for (const item of model.ops[member]!.items) {
        const p = state.placed[item];
        if (!p) continue;
        for (const machine of p.mode.machines) {
          if (p.end > free.at[machine]!) free.at[machine] = p.end;
          free.version[machine] = free.version[machine]! + 1;
          free.family[machine] = state.familyBefore(machine, state.lists[machine]!.length);
        }
      }
      for (const link of model.ops[member]!.after) {
        const to = unitOf(link.to);
        if (to === op) continue;
        openLinks[to] = openLinks[to]! - 1;
        if (openLinks[to] === 0 && left[to] === 1) admit(to);
      }
    }
  };

  // pinned starts first: others go around them
  for (const op of model.ops) {
    if (op.pinnedStart === NONE || left[unitOf(op.index)] === 0) continue;
    const unit = unitOf(op.index);
    const at = waiting.findIndex((entry) => entry.op === unit);
    if (at >= 0) waiting.splice(at, 1);
    commit(unit);
  }
  while (!shouldStop()) {
    if (waiting.length === 0) {
      const stuck = model.topological.find((op) => left[op] === 1);
      if (stuck === undefined) break;
      commit(stuck);
      continue;
    }
    commit(takeNext(state, est, rule, waiting, free));
  }
  const rank = new Float64Array(count).fill(count);
  order.forEach((op, i) => {
    rank[op] = i;
  });
  drain(state, bank, (op) => rank[op]!, choosing, Infinity, 40 * count + 200, [], shouldStop);
  return Int32Array.from(order);
}

/** Re-estimates the entry unless nothing has changed on the machine it would take: others only ever fill up further. */
function refresh(state: State, est: Estimates, entry: Waiting, free: MachineFree): void {
  if (entry.machine !== NONE && entry.version === free.version[entry.machine]!) return;
  const { model } = state;
  entry.end = Infinity;
  entry.machine = NONE;
  entry.start = entry.floor;
  for (const mode of model.ops[entry.op]!.modes) {
    if (mode.impossible) continue;
    let start = entry.floor;
    let setup = 0;
    for (let k = 0; k < mode.machines.length; k++) {
      const machine = mode.machines[k]!;
      if (free.at[machine]! > start) start = free.at[machine]!;
      if (mode.hasSetup) {
        const minutes = setupBetween(model.machines[machine]!, free.family[machine]!, mode.families[k]!);
        if (minutes > setup) setup = minutes;
      }
    }
    const end = start + est.modeElapsed[mode.index]! + setup;
    if (end >= entry.end) continue;
    entry.end = end;
    entry.start = start;
    entry.setup = setup;
    // several machines together change too often to remember
    entry.machine = mode.machines[0] ?? NONE;
    entry.version = mode.machines.length === 1 ? free.version[mode.machines[0]!]! : -1;
  }
}

function takeNext(state: State, est: Estimates, rule: Rule, waiting: Waiting[], free: MachineFree): number {
  let first = waiting[0]!;
  let chosen = 0;
  for (let i = 0; i < waiting.length; i++) {
    const entry = waiting[i]!;
    refresh(state, est, entry, free);
    if (i === 0 || entry.end < first.end) {
      first = entry;
      chosen = i;
    }
  }
  if (first.machine !== NONE) {
    let most = -Infinity;
    for (let i = 0; i < waiting.length; i++) {
      const entry = waiting[i]!;
      if (entry.machine !== first.machine || entry.start >= first.end) continue;
      const value = urgency(rule, est, entry.op, entry.start, entry.setup, entry.floor);
      if (value > most) {
        most = value;
        chosen = i;
      }
    }
  }
  const { op } = waiting[chosen]!;
  waiting[chosen] = waiting[waiting.length - 1]!;
  waiting.pop();
  return op;
}

const STOP_CHECK_EVERY = 64;

/** Decodes a commit order into a state that holds only what is given. Cut short by a stop it is a plan with work missing. */
export function decodeOrder(
  state: State,
  order: CommitOrder,
  choosing: Choosing,
  shouldStop: (() => boolean) | null = null,
): void {
  const { model } = state;
  const bank: Bank = [];
  let placed = 0;
  for (const op of order) {
    if (++placed % STOP_CHECK_EVERY === 0 && shouldStop?.()) return;
    const row = model.lean.rowOf[op]!;
    if (row !== NONE) {
      placeLean(state, row, op, -FAR, choosing, bank);
      continue;
    }
    const dense = model.ops[op]!;
    if (dense.block.length > 0) placeBlock(state, dense.block, choosing, bank);
    else placeOperation(state, dense, -FAR, choosing, bank);
  }
  const rank = new Float64Array(model.ops.length).fill(model.ops.length);
  order.forEach((op, i) => {
    rank[op] = i;
  });
  drain(state, bank, (op) => rank[op]!, choosing, Infinity, 40 * model.ops.length + 200, [], shouldStop);
}
