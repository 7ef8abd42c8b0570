/**
 * Builds a whole plan by dispatching: again and again the machine that could finish something first takes the most urgent
 * operation waiting for it (in the manner of Giffler and Thompson's active schedules, Operations Research 8, 1960), placed
 * exactly. Returns the order in which operations were committed, from which the same plan can be decoded again.
 */

import { linkFloor, startFloor } from "../decode/bounds.ts";
import { drain } from "../decode/drain.ts";
import { FAR, NONE, setupBetween } from "../decode/model.ts";
import { type Choosing, placeBlock, placeOperation } from "../decode/place-operation.ts";
import type { Bank } from "../decode/settle.ts";
import type { State } from "../decode/state.ts";
import { type Estimates, type Rule, urgency } from "./priority.ts";

/** Commit order: first operation of each unit (a single operation or a block). */
export type CommitOrder = Int32Array;

type Waiting = { op: number; floor: number };

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
  const machineFree = new Float64Array(model.machines.length).fill(model.now);
  const waiting: Waiting[] = [];
  const admit = (op: number): void => {
    const dense = model.ops[op]!;
    waiting.push({ op, floor: Math.max(startFloor(state, dense), dense.prepareEarly ? model.now : linkFloor(state, dense)) });
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
        for (const machine of p.mode.machines) if (p.end > machineFree[machine]!) machineFree[machine] = p.end;
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
    commit(takeNext(state, est, rule, waiting, machineFree));
  }
  const rank = new Float64Array(count).fill(count);
  order.forEach((op, i) => {
    rank[op] = i;
  });
  drain(state, bank, rank, choosing, Infinity, 40 * count + 200);
  return Int32Array.from(order);
}

function takeNext(state: State, est: Estimates, rule: Rule, waiting: Waiting[], machineFree: Float64Array): number {
  const { model } = state;
  let firstEnd = Infinity;
  let firstMachine = -1;
  let firstIndex = 0;
  const starts = new Float64Array(waiting.length);
  const machineOf = new Int32Array(waiting.length);
  const setups = new Float64Array(waiting.length);
  for (let i = 0; i < waiting.length; i++) {
    const { op, floor } = waiting[i]!;
    let bestEnd = Infinity;
    machineOf[i] = -1;
    starts[i] = floor;
    for (const mode of model.ops[op]!.modes) {
      if (mode.impossible) continue;
      let start = floor;
      let setup = 0;
      for (let k = 0; k < mode.machines.length; k++) {
        const machine = mode.machines[k]!;
        if (machineFree[machine]! > start) start = machineFree[machine]!;
        if (mode.hasSetup)
          setup = Math.max(
            setup,
            setupBetween(model.machines[machine]!, state.familyBefore(machine, state.lists[machine]!.length), mode.families[k]!),
          );
      }
      const end = start + est.modeElapsed[mode.index]! + setup;
      if (end < bestEnd) {
        bestEnd = end;
        starts[i] = start;
        machineOf[i] = mode.machines[0] ?? -1;
        setups[i] = setup;
      }
    }
    if (bestEnd < firstEnd) {
      firstEnd = bestEnd;
      firstMachine = machineOf[i]!;
      firstIndex = i;
    }
  }
  let chosen = firstIndex;
  if (firstMachine >= 0) {
    let most = -Infinity;
    for (let i = 0; i < waiting.length; i++) {
      if (machineOf[i] !== firstMachine || starts[i]! >= firstEnd) continue;
      const { op } = waiting[i]!;
      const value = urgency(rule, est, op, starts[i]!, setups[i]!, waiting[i]!.floor);
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

/** Decodes a commit order into a state that holds only what is given. */
export function decodeOrder(state: State, order: CommitOrder, choosing: Choosing): void {
  const { model } = state;
  const bank: Bank = [];
  for (const op of order) {
    const dense = model.ops[op]!;
    if (dense.block.length > 0) placeBlock(state, dense.block, choosing, bank);
    else placeOperation(state, dense, -FAR, choosing, bank);
  }
  const rank = new Float64Array(model.ops.length).fill(model.ops.length);
  order.forEach((op, i) => {
    rank[op] = i;
  });
  drain(state, bank, rank, choosing, Infinity, 40 * model.ops.length + 200);
}
