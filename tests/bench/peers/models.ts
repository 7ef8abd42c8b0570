/**
 * The classical shops as MiniZinc models, one text per solver. All models say the same: an operation starts once its forerunner
 * in the job has ended, a machine works on one at a time, the makespan lies between the trivial lower bound and the rule's makespan.
 * Variables on output: `s` starts, `x` 0 or 1 for each alternative in turn (where there is a choice), `makespan`.
 */
import type { FlexibleJobShop } from "../../../src/core/problem/classical.ts";
import type { MinizincSolver } from "./minizinc.ts";

/** Above this the big-M model of a linear solver is hopeless and mostly big; it is not run and the row says so. */
export const LINEAR_OPERATIONS_MAX = 230;

type Choice = { readonly operation: number; readonly machine: number; readonly duration: number };

export function modelsOf(solver: MinizincSolver, shop: FlexibleJobShop, upper: number): readonly string[] {
  const parts = partsOf(shop, upper);
  if (solver === "highs" || solver === "cbc") return [linear(parts)];
  if (solver === "chuffed") return [constraintModel(parts, "starts")];
  // Two searches of which neither is always better; with one thread the first alone runs.
  const order = parts.pairs.length <= 4_000 ? (["order", "starts"] as const) : (["starts", "order"] as const);
  return order.map((search) => constraintModel(parts, search));
}

type Parts = {
  readonly size: number;
  readonly machines: number;
  readonly upper: number;
  readonly lower: number;
  readonly choices: readonly Choice[];
  /** Operation, its follower in the job. */
  readonly links: readonly (readonly [number, number])[];
  /** Choices (indices) that would meet on a machine, of different jobs. */
  readonly pairs: readonly (readonly [number, number])[];
  readonly heads: readonly number[];
  /** Shortest work after the operation. */
  readonly tails: readonly number[];
  readonly single: boolean;
};

function partsOf(shop: FlexibleJobShop, upper: number): Parts {
  const choices: Choice[] = [];
  const links: [number, number][] = [];
  const jobOf: number[] = [];
  const heads: number[] = [];
  const tails: number[] = [];
  let lower = 0;
  shop.jobs.forEach((job, j) => {
    const shortest = job.map((alternatives) => Math.min(...alternatives.map(({ duration }) => duration)));
    const total = shortest.reduce((sum, minutes) => sum + minutes, 0);
    lower = Math.max(lower, total);
    let head = 0;
    job.forEach((alternatives, k) => {
      const operation = jobOf.length;
      if (k > 0) links.push([operation - 1, operation]);
      jobOf.push(j);
      heads.push(head);
      head += shortest[k] as number;
      tails.push(total - head);
      for (const { machine, duration } of alternatives) choices.push({ operation, machine, duration });
    });
  });
  const pairs = choices.flatMap((one, p) =>
    choices.flatMap((other, q): [number, number][] =>
      p < q && one.machine === other.machine && jobOf[one.operation] !== jobOf[other.operation] ? [[p, q]] : [],
    ),
  );
  const single = choices.length === jobOf.length;
  return { size: jobOf.length, machines: shop.machines, upper, lower, choices, links, pairs, heads, tails, single };
}

const list = (values: readonly (number | boolean)[]): string => `[${values.join(",")}]`;

/** What every model has: data, starts in their windows, the makespan. */
function frame(parts: Parts): string {
  const { size, upper, lower, choices, links, pairs, heads, tails, machines } = parts;
  return `
int: n = ${size}; int: k = ${choices.length}; int: upper = ${upper}; int: machines = ${machines};
array[1..n] of int: head = ${list(heads)};
array[1..n] of int: tail = ${list(tails)};
array[1..k] of int: op = ${list(choices.map(({ operation }) => operation + 1))};
array[1..k] of int: mach = ${list(choices.map(({ machine }) => machine + 1))};
array[1..k] of int: dur = ${list(choices.map(({ duration }) => duration))};
array[1..${links.length}] of int: before = ${list(links.map(([from]) => from + 1))};
array[1..${links.length}] of int: after = ${list(links.map(([, to]) => to + 1))};
int: pairs = ${pairs.length};
array[1..pairs] of int: one = ${list(pairs.map(([p]) => p + 1))};
array[1..pairs] of int: other = ${list(pairs.map(([, q]) => q + 1))};
array[1..n] of set of int: choices = [{c | c in 1..k where op[c] = i} | i in 1..n];
array[1..n] of var 0..upper: s;
var ${lower}..upper: makespan;
${
  parts.single
    ? `array[1..k] of int: x = [1 | c in 1..k];
array[1..n] of int: d = dur;`
    : `array[1..k] of var 0..1: x;
array[1..n] of var int: d = [sum(c in choices[i])(dur[c] * x[c]) | i in 1..n];
constraint forall(i in 1..n)(sum(c in choices[i])(x[c]) = 1);`
}
constraint forall(i in 1..n)(s[i] >= head[i] /\\ s[i] + d[i] + tail[i] <= makespan);
constraint forall(l in index_set(before))(s[before[l]] + d[before[l]] <= s[after[l]]);
`;
}

/** For solvers that propagate: orders of pairs as choices, beside them the machine as a whole. */
function constraintModel(parts: Parts, search: "order" | "starts"): string {
  const machine = parts.single
    ? `include "disjunctive.mzn";
constraint forall(m in 1..machines)(disjunctive([s[op[c]] | c in 1..k where mach[c] = m], [dur[c] | c in 1..k where mach[c] = m]));`
    : `include "cumulative.mzn";
constraint forall(m in 1..machines)(cumulative([s[op[c]] | c in 1..k where mach[c] = m], [dur[c] | c in 1..k where mach[c] = m],
  [x[c] | c in 1..k where mach[c] = m], 1));`;
  const orders = `array[1..pairs] of var bool: first;
constraint forall(p in 1..pairs)(
  let { int: i = op[one[p]]; int: j = op[other[p]] } in
  ${
    parts.single
      ? "(first[p] -> s[i] + dur[one[p]] <= s[j]) /\\ (not first[p] -> s[j] + dur[other[p]] <= s[i])"
      : `((first[p] /\\ x[one[p]] = 1 /\\ x[other[p]] = 1) -> s[i] + dur[one[p]] <= s[j]) /\\
  ((not first[p] /\\ x[one[p]] = 1 /\\ x[other[p]] = 1) -> s[j] + dur[other[p]] <= s[i])`
  });`;
  const machinesFirst = parts.single ? "" : "int_search(x, first_fail, indomain_max), ";
  const bySearch =
    search === "order"
      ? `${orders}
solve :: seq_search([${machinesFirst}bool_search(first, dom_w_deg, indomain_max), int_search(s ++ [makespan], smallest, indomain_min)])
  :: restart_luby(250) minimize makespan;`
      : `solve :: seq_search([int_search(s, smallest, indomain_min), ${machinesFirst}int_search([makespan], input_order, indomain_min)])
  minimize makespan;`;
  return `${frame(parts)}${machine}\n${bySearch}\n`;
}

/** For linear solvers: each pair with a big M that the windows make as small as it can be. */
function linear(parts: Parts): string {
  const slack = parts.single ? "" : " + 2 - x[one[p]] - x[other[p]]";
  return `${frame(parts)}
array[1..pairs] of var 0..1: first;
array[1..pairs] of int: big = [max(upper - tail[op[one[p]]] - head[op[other[p]]], upper - tail[op[other[p]]] - head[op[one[p]]]) | p in 1..pairs];
constraint forall(p in 1..pairs)(
  s[op[one[p]]] + dur[one[p]] <= s[op[other[p]]] + big[p] * (1 - first[p]${slack}) /\\
  s[op[other[p]]] + dur[other[p]] <= s[op[one[p]]] + big[p] * (first[p]${slack}));
solve minimize makespan;
`;
}
