/**
 * Load by week: what of each machine's open time the draft uses and for what, what people are needed against what is there,
 * and the highest draw of each supply. Pure, in whole minutes. Weeks are the site's, Monday 00:00 to Monday 00:00; the first
 * one counts from now on. Work outside opening hours counts as occupied, so a machine can be used beyond its open time.
 */

import { clip, normalise, subtract, totalMinutes } from "../../../src/core/calendar/intervals.ts";
import type { Interval } from "../../../src/core/calendar/minute.ts";
import { type StepFunction, sumOfSteps, valueAt } from "../../../src/core/calendar/step-function.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { modeOf, type SegmentKind, segmentsOfLot } from "../../present/segments.ts";

export type Week = { readonly start: number; readonly end: number };

export type MachineWeek = {
  readonly setup: number;
  /** Attended runs and unloading. */
  readonly attended: number;
  readonly unattended: number;
  /** Waiting and pausing: occupied without work. */
  readonly waiting: number;
  /** Open and not occupied. */
  readonly free: number;
  /** Neither open nor occupied. */
  readonly closed: number;
  readonly open: number;
  /** Occupied minutes / open minutes; null when the machine never opens that week. */
  readonly share: number | null;
};

export type CrewWeek = { /** Hundredths of a person x minutes. */ readonly needed: number; readonly there: number };
export type SupplyWeek = {
  readonly peak: number;
  readonly at: number | null /** Amount there is at the moment of the peak. */;
  readonly there: number;
};

export type Load = {
  readonly machines: readonly {
    readonly id: string;
    readonly name: string;
    readonly group: string;
    readonly kind: "machine" | "rig";
    readonly weeks: readonly MachineWeek[];
  }[];
  readonly crews: readonly { readonly id: string; readonly name: string; readonly weeks: readonly CrewWeek[] }[];
  readonly supplies: readonly {
    readonly id: string;
    readonly name: string;
    readonly unit: string;
    readonly weeks: readonly SupplyWeek[];
  }[];
};

type Piece = { readonly interval: Interval; readonly amount: number };
const push = <T>(map: Map<string, T[]>, key: string, value: T): void => {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
};

export function loadOf(problem: Problem, plan: Plan, weeks: readonly Week[]): Load {
  const occupied = new Map<string, { readonly kind: SegmentKind; readonly interval: Interval }[]>();
  const people = new Map<string, Piece[]>();
  const draws = new Map<string, Piece[]>();
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  for (const planned of plan.operations) {
    const operation = operations.get(planned.operation);
    if (!operation) continue;
    planned.lots.forEach((lot, i) => {
      const mode = modeOf(operation, lot.mode);
      if (!mode) return;
      const running = i < operation.progress.running.length;
      for (const segment of segmentsOfLot(lot, mode, running)) {
        for (const machine of mode.machines)
          push(occupied, machine, { kind: segment.kind, interval: [segment.start, segment.end] });
      }
      for (const planned of lot.phases) {
        const phase = mode.phases[planned.phase];
        for (const interval of planned.work) {
          phase?.needs.forEach((need, j) => {
            const crew = planned.crews[j];
            if (crew !== undefined) push(people, crew, { interval, amount: need.amount });
          });
          for (const draw of phase?.draws ?? []) push(draws, draw.supply, { interval, amount: draw.amount });
        }
      }
    });
  }
  return {
    machines: problem.machines.map(({ id, name, group, kind, open }) => ({
      id,
      name,
      group,
      kind,
      weeks: weeks.map((week) => machineWeek(occupied.get(id) ?? [], open, week)),
    })),
    crews: problem.crews.map(({ id, name, headcount }) => ({
      id,
      name,
      weeks: weeks.map(
        (week): CrewWeek => ({ needed: area(sumOfSteps(people.get(id) ?? []), week), there: area(headcount, week) }),
      ),
    })),
    supplies: problem.supplies.map(({ id, name, unit, amount }) => ({
      id,
      name,
      unit,
      weeks: weeks.map((week) => peakOf(sumOfSteps(draws.get(id) ?? []), amount, week)),
    })),
  };
}

function machineWeek(
  list: readonly { readonly kind: SegmentKind; readonly interval: Interval }[],
  open: readonly Interval[],
  { start, end }: Week,
): MachineWeek {
  const minutes = (kinds: readonly SegmentKind[]): number =>
    totalMinutes(clip(normalise(list.filter(({ kind }) => kinds.includes(kind)).map(({ interval }) => interval)), start, end));
  const used = clip(normalise(list.map(({ interval }) => interval)), start, end);
  const openHere = clip(open, start, end);
  const free = totalMinutes(subtract(openHere, used));
  const openMinutes = totalMinutes(openHere);
  return {
    setup: minutes(["setup"]),
    attended: minutes(["attended", "unload", "done"]),
    unattended: minutes(["unattended"]),
    waiting: minutes(["waiting", "paused"]),
    free,
    closed: end - start - free - totalMinutes(used),
    open: openMinutes,
    share: openMinutes === 0 ? null : totalMinutes(used) / openMinutes,
  };
}

/** Amount times minutes within the week. */
function area(step: StepFunction, { start, end }: Week): number {
  let sum = 0;
  for (let i = 0; i < step.at.length; i++) {
    const from = Math.max(step.at[i] as number, start);
    const until = Math.min(step.at[i + 1] ?? end, end);
    if (from < until) sum += (step.value[i] as number) * (until - from);
  }
  return sum;
}

function peakOf(draw: StepFunction, amount: StepFunction, { start, end }: Week): SupplyWeek {
  let best: SupplyWeek = { peak: 0, at: null, there: valueAt(amount, start) };
  let tightest = Number.POSITIVE_INFINITY;
  const moments = [start, ...draw.at, ...amount.at].filter((minute) => minute >= start && minute < end);
  for (const minute of moments) {
    const peak = valueAt(draw, minute);
    const there = valueAt(amount, minute);
    // The tightest moment is the one to look at: the highest draw, and of equals the one with least there.
    if (peak > best.peak || (peak === best.peak && peak > 0 && there < tightest)) {
      best = { peak, at: minute, there };
      tightest = there;
    }
  }
  return best;
}
