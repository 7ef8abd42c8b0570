/**
 * Random plans for tiny problems, mostly wrong in some way: each operation is laid out minute by minute from a random
 * start with random crews, then the plan is damaged a little. Made without the engine, so that the two checkers are
 * compared on plans neither of them nor the engine had a hand in.
 */
import { normalise } from "../../src/core/calendar/intervals.ts";
import type { Interval } from "../../src/core/calendar/minute.ts";
import { createRandom } from "../../src/core/ground/prng.ts";
import type { Mode, Operation } from "../../src/core/orders/operation.ts";
import { workMinutes } from "../../src/core/orders/operation.ts";
import type { Plan, PlannedLot, PlannedOperation, PlannedPhase } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { Minutes } from "../reference/minutes.ts";

export function randomPlan(problem: Problem, seed: number): Plan {
  const random = createRandom(seed);
  const chance = (p: number): boolean => random.next() < p;
  const between = (low: number, high: number): number => low + random.int(high - low + 1);
  const pick = <T>(list: readonly T[]): T => list[random.int(list.length)] as T;
  const minutes = new Minutes(problem);

  const crewFor = (skill: string): string => {
    const able = problem.crews.filter((c) => c.skills.includes(skill));
    return chance(0.05) || able.length === 0 ? (pick(problem.crews)?.id ?? "") : pick(able).id;
  };

  const layOut = (op: Operation, mode: Mode, pieces: number, start: number, extra: number): PlannedLot => {
    const phases: PlannedPhase[] = [];
    let at = start;
    mode.phases.forEach((phase, index) => {
      const crews = phase.needs.map((need) => crewFor(need.skill));
      let left = workMinutes(phase.work, pieces) + (phase.kind === "prepare" ? extra : 0);
      if (left === 0) return;
      const works = (t: number): boolean => minutes.workable(mode, phase, crews, t);
      const careful = chance(0.9);
      if (careful && phase.flow !== "piecewise")
        for (let wait = 0; wait < 60 && !(works(at) && (phase.needs.length > 0 || minutes.starter(op, at))); wait++) at++;
      const work: Interval[] = [];
      for (let guard = 0; left > 0 && guard < 200; guard++, at++) {
        if (chance(0.03)) continue; // rests by choice
        if (phase.flow === "solid" || works(at) || chance(0.02)) {
          work.push([at, at + 1]);
          left--;
        }
      }
      if (work.length === 0) return;
      phases.push({ phase: index, work: normalise(work), crews });
      if (chance(0.2)) at += between(1, 6);
      else if (chance(0.05)) at = Math.max(start, at - between(1, 4)); // the next phase begins too early
    });
    const first = phases.length === 0 ? start : Math.min(...phases.map((p) => p.work[0]?.[0] ?? start));
    const last = phases.reduce((end, p) => Math.max(end, p.work.at(-1)?.[1] ?? end), first);
    return { mode: mode.id, pieces, start: first, end: last, phases };
  };

  const operations: PlannedOperation[] = [];
  for (const op of problem.operations) {
    if (op.progress.running.length > 0 || op.progress.done.length > 0) continue;
    if (chance(0.03)) continue;
    const lots: PlannedLot[] = [];
    const parts = op.split && op.pieces > 1 && chance(0.6) ? [1, op.pieces - 1] : [op.pieces];
    for (const pieces of parts) {
      const start = op.pin?.start != null && chance(0.7) ? op.pin.start : between(problem.now, Math.floor(problem.horizon * 0.7));
      lots.push(layOut(op, pick(op.modes), chance(0.97) ? pieces : pieces + 1, start, chance(0.5) ? between(0, 5) : 0));
    }
    if (chance(0.95)) lots.sort((a, b) => a.start - b.start);
    operations.push({ operation: op.id, lots });
  }
  return { operations };
}
