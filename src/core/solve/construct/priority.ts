/**
 * Priority indices for dispatching, and the estimates they need (work, elapsed time, what still follows).
 * Sources: ATC: A. P. J. Vepsalainen, T. E. Morton, Priority rules for job shops with weighted tardiness costs, Management Science
 * 33, 1987. ATCS: Y. H. Lee, K. Bhaskaran, M. Pinedo, A heuristic to minimize the total weighted tardiness with
 * sequence-dependent setups, IIE Transactions 29, 1997. EDD: J. R. Jackson, 1955. WSPT: W. E. Smith, 1956.
 */
import { type DenseMode, FAR, type Model, phaseMinutes } from "../decode/model.ts";

export type Rule =
  | { readonly kind: "edd" }
  | { readonly kind: "wspt" }
  | { readonly kind: "slack" }
  | { readonly kind: "release" }
  | { readonly kind: "atc"; readonly ahead: number }
  | { readonly kind: "atcs"; readonly ahead: number; readonly setupAhead: number };

export const AHEADS: readonly number[] = [0.5, 1, 2, 4, 8, 16];

/** The grid of rules tried: plain ones, ATC and ATCS over their look-aheads. */
export const RULES: readonly Rule[] = [
  { kind: "edd" },
  { kind: "wspt" },
  { kind: "slack" },
  { kind: "release" },
  ...AHEADS.map((ahead): Rule => ({ kind: "atc", ahead })),
  ...AHEADS.map((ahead): Rule => ({ kind: "atcs", ahead, setupAhead: 0.5 })),
];

export type Estimates = {
  /** Worked minutes of the whole operation in its shortest mode. */
  readonly work: Float64Array;
  /** The same with nights and weekends spread over it. */
  readonly elapsed: Float64Array;
  /** Elapsed estimate of the longest chain after the operation. */
  readonly tail: Float64Array;
  readonly due: Float64Array;
  readonly weight: Float64Array;
  readonly meanWork: number;
  readonly meanSetup: number;
  readonly modeElapsed: Float64Array;
};

export function estimate(model: Model): Estimates {
  const count = model.ops.length;
  const work = new Float64Array(count);
  const elapsed = new Float64Array(count);
  const tail = new Float64Array(count);
  const due = new Float64Array(count);
  const weight = new Float64Array(count);
  const modeCount = model.ops.reduce((sum, op) => sum + op.modes.length, 0);
  const modeElapsed = new Float64Array(modeCount);
  const span = Math.max(1, model.horizon - model.now);
  const spread = (mode: DenseMode, pieces: number): number => {
    let sum = 0;
    for (const phase of mode.phases) {
      const minutes = phaseMinutes(phase, pieces);
      if (minutes === 0) continue;
      const calendar = phase.choices[0]?.calendar;
      if (!calendar || calendar.count === 0) return FAR;
      const open = calendar.before[calendar.count]! / Math.max(1, span);
      sum += minutes / Math.min(1, Math.max(0.02, open));
    }
    return sum;
  };
  let workSum = 0;
  let counted = 0;
  for (const op of model.ops) {
    let leastWork = FAR;
    let least = FAR;
    for (const mode of op.modes) {
      const minutes = mode.phases.reduce((sum, phase) => sum + phaseMinutes(phase, op.freePieces), 0);
      modeElapsed[mode.index] = spread(mode, op.freePieces);
      if (minutes < leastWork) leastWork = minutes;
      if (modeElapsed[mode.index]! < least) least = modeElapsed[mode.index]!;
    }
    work[op.index] = op.finished || op.modes.length === 0 ? 0 : leastWork;
    elapsed[op.index] = op.finished || op.modes.length === 0 ? 0 : least;
    const order = model.orders[op.order]!;
    due[op.index] = Math.min(order.due, order.deadline);
    weight[op.index] = order.weight;
    if (work[op.index]! > 0) {
      workSum += work[op.index]!;
      counted++;
    }
  }
  for (let i = model.topological.length - 1; i >= 0; i--) {
    const op = model.topological[i]!;
    for (const link of model.ops[op]!.after) {
      const chain = (link.kind === "lag" ? link.minLag + elapsed[link.to]! : 0) + tail[link.to]!;
      if (chain > tail[op]!) tail[op] = chain;
      // what other orders wait for inherits their urgency
      const wanted = due[link.to]! - (link.kind === "lag" ? elapsed[link.to]! + link.minLag : 0);
      if (wanted < due[op]! - 1e-9 && model.ops[link.to]!.order !== model.ops[op]!.order) {
        due[op] = wanted + tail[op]!;
        weight[op] = Math.max(weight[op]!, weight[link.to]!);
      }
    }
  }
  let setupSum = 0;
  let setups = 0;
  for (const machine of model.machines) {
    for (let i = 0; i < machine.setup.length; i++) {
      setupSum += machine.setup[i]!;
      setups++;
    }
  }
  return {
    work,
    elapsed,
    tail,
    due,
    weight,
    meanWork: counted > 0 ? workSum / counted : 1,
    meanSetup: setups > 0 ? setupSum / setups : 0,
    modeElapsed,
  };
}

/** How urgent the operation is at the minute, with so many setup minutes ahead of it. Larger goes first. */
export function urgency(rule: Rule, est: Estimates, op: number, at: number, setup: number, release: number): number {
  const due = est.due[op]!;
  const work = Math.max(1, est.work[op]!);
  switch (rule.kind) {
    case "edd":
      return -due;
    case "release":
      return -release;
    case "wspt":
      return est.weight[op]! / work;
    case "slack":
      return -(due - at - est.elapsed[op]! - est.tail[op]!);
    case "atc":
    case "atcs": {
      const slack = Math.max(0, due - at - est.elapsed[op]! - est.tail[op]!);
      const scale = rule.ahead * Math.max(1, (est.meanWork * Math.max(1, est.elapsed[op]!)) / work);
      let exponent = -slack / scale;
      if (rule.kind === "atcs" && est.meanSetup > 0) exponent -= setup / (rule.setupAhead * est.meanSetup);
      // in logarithms: products of small exponentials would all be 0
      return Math.log(Math.max(est.weight[op]!, 1e-6) / work) + exponent;
    }
  }
}
