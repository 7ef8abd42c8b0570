/**
 * What cannot hold: smallest sets of demands (demand.ts) that contradict each other. A set is found by lifting demands, many at
 * once and then one by one, as long as no plan is found without them (deletion filter: Chinneck, Dravnieks, ORSA J. on Computing
 * 3(2), 1991). That any one lifted makes the rest of the set solvable is certain: a plan was found. That the whole set is not is
 * certain where `proof` says "proved"; where it says "noneFound" the search found no plan within its budget, no more.
 * Cost: about two calls of the oracle for each demand of a set and log(demands) on top, for each set.
 */
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { provesContradiction } from "./contradiction-proof.ts";
import { type Demand, demandKey, demandsOf, type ExplainedDemand, explainDemand, without } from "./demand.ts";

/** A plan without conflicts; null: none was found. */
export type FindPlan = (problem: Problem) => Plan | null;

export type Contradiction = {
  readonly demands: readonly ExplainedDemand[];
  readonly proof: "proved" | "noneFound";
};

export type WhatCannotHold =
  | { readonly kind: "holds"; readonly plan: Plan }
  /** Sets without a demand in common; with all of them lifted a plan was found. Fewer than all of each may do. */
  | { readonly kind: "contradictions"; readonly sets: readonly Contradiction[]; readonly planWithout: Plan | null }
  /** Even without any demand no plan was found: the work itself does not fit (or the search was too short). */
  | { readonly kind: "workDoesNotFit"; readonly proof: "proved" | "noneFound" };

const SETS_MAX = 5;

export function whatCannotHold(problem: Problem, findPlan: FindPlan): WhatCannotHold {
  const all = demandsOf(problem);
  const find = remembered(problem, all, findPlan);
  const plan = find(all);
  if (plan !== null) return { kind: "holds", plan };
  if (find([]) === null)
    return { kind: "workDoesNotFit", proof: provesContradiction(without(problem, all)) ? "proved" : "noneFound" };
  const sets: Contradiction[] = [];
  let left = all;
  let planWithout: Plan | null = null;
  while (planWithout === null && sets.length < SETS_MAX) {
    const set = smallestSet(left, find);
    const only = without(problem, difference(all, set));
    sets.push({
      demands: set.map((demand) => explainDemand(problem, demand)),
      proof: provesContradiction(only) ? "proved" : "noneFound",
    });
    left = difference(left, set);
    planWithout = find(left);
  }
  return { kind: "contradictions", sets, planWithout };
}

type Find = (kept: readonly Demand[]) => Plan | null;

function remembered(problem: Problem, all: readonly Demand[], findPlan: FindPlan): Find {
  const known = new Map<string, Plan | null>();
  return (kept) => {
    const key = kept.map(demandKey).sort().join("\n");
    let plan = known.get(key);
    if (plan === undefined) {
      plan = findPlan(without(problem, difference(all, kept)));
      known.set(key, plan);
    }
    return plan;
  };
}

/** Of demands for which no plan is found, a set that has none either, but has one as soon as any demand of it is lifted. */
function smallestSet(demands: readonly Demand[], find: Find): readonly Demand[] {
  let set = demands;
  for (let size = Math.ceil(demands.length / 2); ; size = Math.ceil(size / 2)) {
    for (let at = 0; at < set.length; ) {
      const lifted = set.slice(at, at + size);
      const rest = difference(set, lifted);
      if (find(rest) === null) set = rest;
      else at += size;
    }
    if (size <= 1) return set;
  }
}

function difference(all: readonly Demand[], some: readonly Demand[]): readonly Demand[] {
  const gone = new Set(some.map(demandKey));
  return all.filter((demand) => !gone.has(demandKey(demand)));
}
