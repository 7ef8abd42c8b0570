/**
 * Rules the engine may break when nothing else is left, counted as conflicts while it searches: windows, pins, longest lags,
 * links into given work, same machine, calibration, run hours; and the disturbance part of the cost. Pure look-ups on the state.
 */
import { type DenseLink, type DenseOp, type DenseRule, FAR, type Model, NONE, OFF } from "./model.ts";
import type { Placement } from "./placement.ts";
import type { State } from "./state.ts";
import { transferBroken } from "./transfer.ts";

/** Conflicts of the lot with its own operation. */
export function lotConflicts(model: Model, p: Placement): number {
  if (p.fixed) return 0;
  const op = model.ops[p.op]!;
  let sum = 0;
  if (p.start < op.windowStart || p.end > op.windowEnd) sum++;
  if (
    (op.pinnedSet !== null && op.pinnedSet !== p.mode.machineSet) ||
    (op.pinnedStart !== NONE && op.items[0] === p.item && p.start !== op.pinnedStart)
  )
    sum++;
  return sum;
}

/** Whether the two placed lots break the link. */
export function pairBroken(state: State, link: DenseLink, from: Placement, to: Placement): boolean {
  if (link.kind === "sameMachine") return from.mode.machineSet !== to.mode.machineSet;
  if (link.kind === "transfer") return transferBroken(state, to);
  const lag = to.bound - from.end;
  return lag < link.minLag || lag > link.maxLag;
}

/** Broken pairs between this lot and all other placed or done lots; the lot itself need not be in the state. */
export const brokenPairs = (state: State, p: Placement): number => brokenLags(state, p) + brokenTies(state, p);

/** Lags broken between this lot and all other placed lots; the lot itself need not be in the state. */
export function brokenLags(state: State, p: Placement): number {
  const { model, placed, endOf, boundOf } = state;
  let sum = 0;
  // what follows by pieces too early is taken off and put back later, never left broken
  const { earlier, later } = model;
  for (let k = earlier.from[p.op]!, until = earlier.from[p.op + 1]!; k < until; k++) {
    const item = earlier.item[k]!;
    const end = endOf[item]!;
    if (end === OFF) continue;
    const lag = p.bound - end;
    if ((lag < earlier.minLag[k]! || lag > earlier.maxLag[k]!) && !(p.fixed && placed[item]!.fixed)) sum++;
  }
  for (let k = later.from[p.op]!, until = later.from[p.op + 1]!; k < until; k++) {
    const item = later.item[k]!;
    const bound = boundOf[item]!;
    if (bound === OFF) continue;
    const lag = bound - p.end;
    if ((lag < later.minLag[k]! || lag > later.maxLag[k]!) && !(p.fixed && placed[item]!.fixed)) sum++;
  }
  return sum;
}

/** Links broken with done lots, and machines that should be the same. */
export function brokenTies(state: State, p: Placement): number {
  const { model } = state;
  const op = model.ops[p.op]!;
  let sum = op.followsDone && !p.fixed ? brokenAfterDone(model, op, p) : 0;
  for (const link of op.alike) {
    const other = model.ops[link.from === p.op ? link.to : link.from]!;
    if (other.index === op.index) continue;
    for (const item of other.items) {
      const q = state.placed[item];
      if (q && q.mode.machineSet !== p.mode.machineSet) sum++;
    }
    for (const lot of other.source.progress.done) {
      const mode = other.modes.find((candidate) => other.source.modes[candidate.index - other.modes[0]!.index]!.id === lot.mode);
      if (mode && mode.machineSet !== p.mode.machineSet) sum++;
    }
  }
  return sum;
}

function brokenAfterDone(model: Model, op: DenseOp, p: Placement): number {
  let sum = 0;
  for (const link of op.before) {
    if (link.kind !== "lag") continue;
    for (const lot of model.ops[link.from]!.source.progress.done) {
      const lag = p.bound - lot.end;
      if (lag < link.minLag || lag > link.maxLag) sum++;
    }
  }
  return sum;
}

/** The minute until which the calibration holds for work on the machine that starts at `start`. */
export function calibrationDue(
  state: State,
  machine: number,
  name: number,
  due: number,
  interval: number,
  start: number,
): number {
  let until = due;
  for (const work of state.model.done) {
    if (work.end <= start && work.mode.machines.includes(machine) && state.model.ops[work.op]!.calibrates.includes(name))
      until = Math.max(until, work.end + interval);
  }
  let latest = -FAR;
  for (const p of state.lists[machine]!) {
    if (p.end <= start && p.end > latest && state.model.ops[p.op]!.calibrates.includes(name)) latest = p.end;
  }
  return latest > -FAR ? latest + interval : until;
}

export function calibrationsLapsed(state: State, machine: number): number {
  const { calibrations } = state.model.machines[machine]!;
  if (calibrations.length === 0) return 0;
  let sum = 0;
  for (const p of state.lists[machine]!) {
    const op = state.model.ops[p.op]!;
    for (const entry of calibrations) {
      if (!op.needsCalibrations.includes(entry.name)) continue;
      if (p.end > calibrationDue(state, machine, entry.name, entry.due, entry.interval, p.start)) {
        sum++;
        break;
      }
    }
  }
  return sum;
}

export function overdueRule(state: State, rule: DenseRule): boolean {
  let counter = rule.counter;
  if (counter > rule.limit) return true;
  for (const p of state.lists[rule.machine]!) {
    counter += p.run;
    if (counter > rule.limit) return true;
    if (state.model.ops[p.op]!.rule === rule.index) counter = 0;
  }
  return false;
}

/** The disturbance part for one published operation, over its placed lots. */
export function disturbanceOf(state: State, op: DenseOp): number {
  const lots: Placement[] = [];
  for (const item of op.items) {
    const p = state.placed[item];
    if (p) lots.push(p);
  }
  if (lots.length === 0) return 0;
  if (lots.length > 1) lots.sort((a, b) => a.start - b.start || a.item - b.item);
  const { model } = state;
  const nearnessAt = (start: number): number => (start < model.now + 1440 ? 4 : start < model.now + 7200 ? 2 : 1);
  const first = nearnessAt(op.published[0]!.start);
  let sum = 0;
  for (let i = 0; i < lots.length; i++) {
    const lot = lots[i]!;
    const old = op.published[i];
    if (!old) {
      sum += 480 * first;
      continue;
    }
    const known = publishedFacts(model, op, i);
    let moved = Math.min(Math.abs(lot.start - old.start), 10_080);
    if (known.machineSet !== lot.mode.machineSet) moved += 480;
    let serving = 0;
    for (const placed of lot.phases) {
      for (const crew of placed.choice.crews) {
        if (known.crews.includes(crew)) continue;
        const bit = 1 << (crew & 31);
        if (crew < 31) {
          if (serving & bit) continue;
          serving |= bit;
        }
        moved += 120;
      }
    }
    sum += nearnessAt(old.start) * moved;
  }
  if (op.published.length > lots.length && state.complete(op)) sum += (op.published.length - lots.length) * 480 * first;
  return sum;
}

type PublishedFacts = { readonly machineSet: string; readonly crews: readonly number[] };
const factsOf = new WeakMap<object, PublishedFacts>();

function publishedFacts(model: Model, op: DenseOp, lot: number): PublishedFacts {
  const old = op.published[lot]!;
  const known = factsOf.get(old);
  if (known) return known;
  const mode = op.source.modes.findIndex((candidate) => candidate.id === old.mode);
  const facts: PublishedFacts = {
    machineSet: op.modes[mode]?.machineSet ?? "?",
    crews: [...new Set(old.phases.flatMap((phase) => phase.crews.map((crew) => model.crewOfId.get(crew) ?? NONE)))],
  };
  factsOf.set(old, facts);
  return facts;
}
