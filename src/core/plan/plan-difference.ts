/**
 * What one plan changes against another, for the people it concerns: operations that move and by how much, orders that end
 * elsewhere, machines and crews that must be told anew, batches cut into more lots. Judges nothing. O(size of the plans).
 */
import type { Minute } from "../calendar/minute.ts";
import type { OperationId } from "../orders/operation.ts";
import { workMinutes } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { CrewId } from "../plant/crew.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { sameLots } from "../problem/same-plan.ts";

export type MovedOperation = {
  readonly operation: OperationId;
  readonly order: OrderId;
  /** Start of the first lot; null: not planned. */
  readonly from: Minute | null;
  readonly to: Minute | null;
  /** to - from; 0 where either is missing. */
  readonly minutes: number;
  readonly machinesBefore: readonly MachineId[];
  readonly machinesAfter: readonly MachineId[];
  /** Crews that serve it now and did not before. */
  readonly newCrews: readonly CrewId[];
  /** How far it is from where it was: minutes (a week at most), 480 for other machines, 120 for each new crew, 480 for each lot without partner; at least 1. */
  readonly movement: number;
};

export type OrderShift = {
  readonly order: OrderId;
  readonly weight: number;
  readonly due: Minute | null;
  /** Completion; null: not planned. */
  readonly before: Minute | null;
  readonly after: Minute | null;
  /** after - before; 0 where either is missing. */
  readonly minutes: number;
  /** Minutes after the due minute. */
  readonly lateBefore: number;
  readonly lateAfter: number;
};

export type CutBatch = {
  readonly operation: OperationId;
  readonly order: OrderId;
  readonly running: boolean;
  readonly lots: readonly { readonly pieces: number; readonly start: Minute; readonly end: Minute }[];
  /** Minutes of preparing and clearing more than before. */
  readonly extraMinutes: number;
};

export type PlanDifference = {
  readonly moved: readonly MovedOperation[];
  readonly orders: readonly OrderShift[];
  readonly machines: readonly MachineId[];
  readonly crews: readonly CrewId[];
  readonly cuts: readonly CutBatch[];
};

/** Operations of the orders in `except` are left out of moves and shifts, but the machines and crews that serve them are told. */
export function planDifference(
  problem: Problem,
  before: Plan,
  after: Plan,
  except: ReadonlySet<OrderId> = new Set(),
): PlanDifference {
  const old = lotsOf(before);
  const now = lotsOf(after);
  const moved: MovedOperation[] = [];
  const cuts: CutBatch[] = [];
  const machines = new Set<MachineId>();
  const crews = new Set<CrewId>();
  const touched = new Set<OrderId>();
  for (const operation of problem.operations) {
    const a = old.get(operation.id) ?? [];
    const b = now.get(operation.id) ?? [];
    if (sameLots(a, b)) continue;
    touched.add(operation.order);
    const machinesOf = (lots: readonly PlannedLot[]): MachineId[] => [
      ...new Set(lots.flatMap((lot) => operation.modes.find((mode) => mode.id === lot.mode)?.machines ?? [])),
    ];
    for (const machine of [...machinesOf(a), ...machinesOf(b)]) machines.add(machine);
    for (const lot of [...a, ...b]) for (const phase of lot.phases) for (const crew of phase.crews) crews.add(crew);
    if (b.length > Math.max(1, a.length)) {
      const side = (lots: readonly PlannedLot[]): number => lots.reduce((sum, lot) => sum + besideRun(operation, lot), 0);
      cuts.push({
        operation: operation.id,
        order: operation.order,
        running: operation.progress.running.length > 0,
        lots: b.map(({ pieces, start, end }) => ({ pieces, start, end })),
        extraMinutes: side(b) - side(a),
      });
    }
    if (except.has(operation.order)) continue;
    const from = a[0]?.start ?? null;
    const to = b[0]?.start ?? null;
    const crewsOf = (lots: readonly PlannedLot[]): ReadonlySet<CrewId> =>
      new Set(lots.flatMap((lot) => lot.phases.flatMap((phase) => phase.crews)));
    const known = crewsOf(a);
    const newCrews = [...crewsOf(b)].filter((crew) => !known.has(crew));
    moved.push({
      operation: operation.id,
      order: operation.order,
      from,
      to,
      minutes: from === null || to === null ? 0 : to - from,
      machinesBefore: machinesOf(a),
      machinesAfter: machinesOf(b),
      newCrews,
      movement: movementOf(a, b, machinesOf, newCrews.length),
    });
  }
  const endBefore = completions(problem, old);
  const endAfter = completions(problem, now);
  const orders = problem.orders.flatMap((order): OrderShift[] => {
    if (!touched.has(order.id) || except.has(order.id)) return [];
    const first = endBefore.get(order.id) ?? null;
    const second = endAfter.get(order.id) ?? null;
    if (first === second) return [];
    const late = (end: Minute | null): number => (end === null || order.due === null ? 0 : Math.max(0, end - order.due));
    return [
      {
        order: order.id,
        weight: order.weight,
        due: order.due,
        before: first,
        after: second,
        minutes: first === null || second === null ? 0 : second - first,
        lateBefore: late(first),
        lateAfter: late(second),
      },
    ];
  });
  return { moved, orders, machines: [...machines].sort(), crews: [...crews].sort(), cuts };
}

const WEEK = 10_080;
const OTHER_MACHINE = 480;
const OTHER_CREW = 120;

/** The measure of the cost's disturbance part (check/cost.ts), without nearness, against the plan in hand instead of the published one. */
function movementOf(
  a: readonly PlannedLot[],
  b: readonly PlannedLot[],
  machinesOf: (lots: readonly PlannedLot[]) => readonly MachineId[],
  newCrews: number,
): number {
  let sum = OTHER_CREW * newCrews;
  for (let i = 0; i < Math.max(a.length, b.length); i++) {
    const old = a[i];
    const now = b[i];
    if (old === undefined || now === undefined) sum += OTHER_MACHINE;
    else {
      sum += Math.min(Math.abs(now.start - old.start), WEEK);
      if ([...machinesOf([old])].sort().join("+") !== [...machinesOf([now])].sort().join("+")) sum += OTHER_MACHINE;
    }
  }
  return Math.max(1, sum);
}

/** When each order is complete: the last end of its planned and done lots; null when some operation of it stands nowhere. */
export function orderCompletions(problem: Problem, plan: Plan): ReadonlyMap<OrderId, Minute | null> {
  return completions(problem, lotsOf(plan));
}

function completions(
  problem: Problem,
  lots: ReadonlyMap<OperationId, readonly PlannedLot[]>,
): ReadonlyMap<OrderId, Minute | null> {
  const optional = new Set(problem.runHourRules.flatMap((rule) => rule.operations));
  const ends = new Map<OrderId, Minute | null>();
  for (const operation of problem.operations) {
    const known = ends.get(operation.order);
    if (known === null) continue;
    const mine = [...operation.progress.done, ...(lots.get(operation.id) ?? [])];
    if (mine.length === 0 && !optional.has(operation.id)) ends.set(operation.order, null);
    else for (const { end } of mine) ends.set(operation.order, Math.max(ends.get(operation.order) ?? end, end));
  }
  return ends;
}

const lotsOf = (plan: Plan): ReadonlyMap<OperationId, readonly PlannedLot[]> =>
  new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));

/** Worked minutes of a lot that are not its pieces: preparing with setup, clearing. */
function besideRun(operation: Problem["operations"][number], lot: PlannedLot): number {
  const mode = operation.modes.find((candidate) => candidate.id === lot.mode);
  const worked = lot.phases.reduce((sum, { work }) => sum + work.reduce((minutes, [start, end]) => minutes + end - start, 0), 0);
  const pieces = (mode?.phases ?? []).reduce(
    (sum, { kind, work }) => sum + (kind === "run" ? workMinutes(work, lot.pieces) : 0),
    0,
  );
  return Math.max(0, worked - pieces);
}
