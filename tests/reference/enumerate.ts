/**
 * The true optimum of a tiny problem without split batches, by trying every placement: every mode, every crew for every need,
 * every begin of every phase. Feasible means: the reference checker finds nothing; cost means: the reference cost.
 * Returns null when the number of placements passes a limit, so that a test can count how many it really enumerated.
 * Assumes the default cost parts tardiness, waiting, setup, unsocial and flow only (no published plan).
 */
import { normalise } from "../../src/core/calendar/intervals.ts";
import type { Operation } from "../../src/core/orders/operation.ts";
import { workMinutes } from "../../src/core/orders/operation.ts";
import type { Plan, PlannedLot, PlannedPhase } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { referenceCheck } from "./checker.ts";
import { referenceCost } from "./cost.ts";
import { Minutes } from "./minutes.ts";

const CANDIDATES_MAX = 1_000; // ways to place one operation, those that break a rule by themselves included
const CHECKS_MAX = 1_500;

type Candidate = { lot: PlannedLot | null; machines: readonly string[]; own: number; end: number };

export type Optimum = { readonly total: number; readonly plan: Plan } | "infeasible" | null;

export function enumerateOptimum(problem: Problem): Optimum {
  const minutes = new Minutes(problem);
  const lists: Candidate[][] = [];
  for (const operation of problem.operations) {
    const list = candidatesOf(problem, minutes, operation);
    if (list === null) return null;
    lists.push(list);
  }
  const orderIndex = new Map(problem.orders.map((order, i) => [order.id as string, i]));
  const { weights } = problem;
  const orderCost = (i: number, end: number): number => {
    const order = problem.orders[i];
    if (!order || end === Number.NEGATIVE_INFINITY) return 0;
    const late = order.due === null ? 0 : Math.max(0, end - order.due);
    return order.weight * (weights.tardiness * late + weights.flow * (end - Math.max(order.release, 0)));
  };
  let best = Number.POSITIVE_INFINITY;
  let bestPlan: Plan | null = null;
  let checks = 0;
  let gaveUp = false;
  const chosen: Candidate[] = [];
  const search = (depth: number, own: number, ends: readonly number[]): void => {
    if (gaveUp) return;
    const bound = own + ends.reduce((sum, end, i) => sum + orderCost(i, end), 0);
    if (bound >= best) return;
    if (depth === problem.operations.length) {
      if (++checks > CHECKS_MAX) {
        gaveUp = true;
        return;
      }
      const plan: Plan = {
        operations: chosen.flatMap(({ lot }, i) =>
          lot === null ? [] : [{ operation: (problem.operations[i] as Operation).id, lots: [lot] }],
        ),
      };
      if (referenceCheck(problem, plan).length > 0) return;
      const { total } = referenceCost(problem, plan);
      if (total < best) {
        best = total;
        bestPlan = plan;
      }
      return;
    }
    const operation = problem.operations[depth] as Operation;
    const at = orderIndex.get(operation.order) as number;
    for (const candidate of lists[depth] as Candidate[]) {
      if (!compatible(problem, chosen, depth, candidate)) continue;
      chosen.push(candidate);
      search(
        depth + 1,
        own + candidate.own,
        ends.map((end, i) => (i === at ? Math.max(end, candidate.end) : end)),
      );
      chosen.pop();
    }
  };
  search(
    0,
    0,
    problem.orders.map(() => Number.NEGATIVE_INFINITY),
  );
  if (gaveUp) return null;
  return bestPlan === null ? "infeasible" : { total: best, plan: bestPlan };
}

/** Cheap refusals that the reference checker would give, too: one machine twice, a plain lag broken. */
function compatible(problem: Problem, chosen: readonly Candidate[], depth: number, candidate: Candidate): boolean {
  const operation = problem.operations[depth] as Operation;
  for (let i = 0; i < depth; i++) {
    const other = chosen[i] as Candidate;
    if (other.lot === null || candidate.lot === null) continue;
    const overlap = other.lot.start < candidate.lot.end && candidate.lot.start < other.lot.end;
    if (overlap && other.machines.some((machine) => candidate.machines.includes(machine))) return false;
    const earlier = problem.operations[i] as Operation;
    for (const link of problem.links) {
      if (link.kind !== "lag" || operation.prepareEarly || earlier.prepareEarly) continue;
      if (link.from === earlier.id && link.to === operation.id && candidate.lot.start - other.lot.end < link.minLag) return false;
      if (link.from === operation.id && link.to === earlier.id && other.lot.start - candidate.lot.end < link.minLag) return false;
    }
  }
  return true;
}

function candidatesOf(problem: Problem, minutes: Minutes, operation: Operation): Candidate[] | null {
  const out: Candidate[] = [];
  let tried = 0;
  for (const mode of operation.modes) {
    const setups = new Set<number>([0]);
    mode.machines.forEach((id, i) => {
      const rule = minutes.machine(id).setup;
      if (mode.families[i] == null || rule.kind === "none") return;
      if (rule.kind === "table") for (const row of rule.table.minutes) for (const entry of row) setups.add(entry);
      else for (let n = 0; n <= 40; n++) setups.add(n);
    });
    const hasPrepare = mode.phases[0]?.kind === "prepare";
    for (const setup of hasPrepare ? setups : [0]) {
      const lengths = mode.phases.map((phase, k) => workMinutes(phase.work, operation.pieces) + (k === 0 ? setup : 0));
      const shown = mode.phases.map((_, k) => k).filter((k) => (lengths[k] as number) > 0);
      const grow = (n: number, from: number, phases: PlannedPhase[]): boolean => {
        if (n === shown.length) {
          if (++tried > CANDIDATES_MAX) return false;
          const start = phases[0]?.work[0]?.[0] ?? from;
          const end = phases.at(-1)?.work.at(-1)?.[1] ?? start;
          const lot: PlannedLot = { mode: mode.id, pieces: operation.pieces, start, end, phases };
          const alone: Plan = { operations: [{ operation: operation.id, lots: [lot] }] };
          const bad = referenceCheck(
            { ...problem, operations: [operation], links: [], kitSpans: [], runHourRules: [], orders: problem.orders },
            alone,
          );
          // setup depends on the others; everything else about the phases stands by itself
          if (bad.some((c) => c.kind !== "setupShort" && c.kind !== "wrongWork" && c.kind !== "calibrationLapsed")) return true;
          out.push({ lot, machines: mode.machines, own: ownCost(problem, lot, operation, setup), end });
          return true;
        }
        const k = shown[n] as number;
        const phase = mode.phases[k];
        if (!phase) return false;
        for (const crews of crewChoices(
          problem,
          phase.needs.map((need) => need.skill),
        )) {
          for (let t = from; t < problem.horizon; t++) {
            if (n === 0 && phases.length === 0 && t < problem.now) continue;
            const work = layOut(minutes, operation, mode, k, crews, t, lengths[k] as number, problem.horizon);
            if (work === null) continue;
            if (!grow(n + 1, work[work.length - 1]?.[1] as number, [...phases, { phase: k, work, crews }])) return false;
          }
        }
        return true;
      };
      if (shown.length === 0) {
        for (let t = problem.now; t <= problem.horizon; t++)
          out.push({
            lot: { mode: mode.id, pieces: operation.pieces, start: t, end: t, phases: [] },
            machines: mode.machines,
            own: 0,
            end: t,
          });
      } else if (!grow(0, problem.now, [])) return null;
    }
  }
  // maintenance at the end of a run-hour list may stay unplanned
  if (problem.runHourRules.some((rule) => rule.operations.includes(operation.id)))
    out.push({ lot: null, machines: [], own: 0, end: Number.NEGATIVE_INFINITY });
  return out.sort((a, b) => a.end - b.end || a.own - b.own);
}

function crewChoices(problem: Problem, skills: readonly string[]): string[][] {
  return skills.reduce<string[][]>(
    (lists, skill) =>
      lists.flatMap((list) => problem.crews.filter((c) => c.skills.includes(skill)).map((c) => [...list, c.id as string])),
    [[]],
  );
}

/** The worked minutes of a phase begun at t, straight from the meaning of its flow; null when it cannot begin there. */
export function layOut(
  minutes: Minutes,
  operation: Operation,
  mode: Operation["modes"][number],
  k: number,
  crews: readonly string[],
  t: number,
  length: number,
  horizon: number,
): readonly (readonly [number, number])[] | null {
  const phase = mode.phases[k];
  if (!phase) return null;
  const can = (m: number): boolean => minutes.workable(mode, phase, crews, m);
  const unattended = minutes.unattended(mode, phase);
  if (!can(t)) return null;
  const worked: number[] = [];
  if (phase.flow === "piecewise" && phase.work.kind === "perPiece") {
    let at = t;
    for (let i = 1, before = 0; i <= operation.pieces; i++) {
      const upTo = Math.ceil((i * phase.work.seconds) / 60);
      const piece = upTo - before;
      before = upTo;
      const fits = (m: number): boolean => {
        for (let j = 0; j < piece; j++) if (!can(m + j)) return false;
        return true;
      };
      while (
        at < horizon &&
        !(
          fits(at) &&
          (worked.length === 0 || worked[worked.length - 1] === at - 1 || !unattended || minutes.starter(operation, at))
        )
      ) {
        if (worked.length === 0) return null;
        at++;
      }
      if (at >= horizon) return null;
      for (let j = 0; j < piece; j++) worked.push(at++);
    }
  } else {
    for (let m = t; worked.length < length; m++) {
      if (m >= horizon) return null;
      const goesOn =
        can(m) && (worked.length === 0 || worked[worked.length - 1] === m - 1 || !unattended || minutes.starter(operation, m));
      if (goesOn) worked.push(m);
      else if (phase.flow === "solid") return null;
    }
  }
  return normalise(worked.map((m) => [m, m + 1] as const));
}

/** Waiting, setup and unsocial cost of one lot; unsocial is rounded in the total, so it is taken per lot from below. */
function ownCost(problem: Problem, lot: PlannedLot, operation: Operation, setup: number): number {
  const one = referenceCost(
    { ...problem, orders: [], operations: [operation] },
    { operations: [{ operation: operation.id, lots: [lot] }] },
  );
  return (
    problem.weights.waiting * one.parts.waiting +
    problem.weights.setup * setup +
    problem.weights.unsocial * Math.max(0, one.parts.unsocial - 1)
  );
}
