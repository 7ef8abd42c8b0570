/**
 * The placed plan: which lot lies where, what is left of crews, supplies and kits, and what it all costs, kept exact under
 * every single change. Changes are logged and undone strictly last in, first out. Knows no search and no rule of placement.
 */

import { CALENDAR_LEAD_MINUTES } from "../../calendar/minute.ts";
import type { StepFunction } from "../../calendar/step-function.ts";
import { invariant } from "../../ground/invariant.ts";
import type { CostWeights } from "../../problem/objective.ts";
import { BOUND, HOLDS_KITS, PUBLISHED, RENEWS, SERVICE, SPANS_KITS, TIED } from "./lean-rows.ts";
import { MachineQueues, roomAtFirst } from "./machine-queues.ts";
import { type DenseMode, type DenseOp, FAR, type Model, NONE, OFF, setupBetween } from "./model.ts";
import type { PlacedPhase, Placement } from "./placement.ts";
import { Profile } from "./profile.ts";
import { brokenLags, brokenTies, calibrationsLapsed, disturbanceOf, lotConflicts, overdueRule } from "./rule-breaks.ts";

/** One conflict outweighs any cost met in practice; sums stay far below 2^53. */
export const CONFLICT_COST = 1e12;

type PiecesBefore = { readonly item: number; readonly pieces: number };
const PUT = 1;
const TAKEN = 0;
const RECUT = 2;

/** The state with nothing placed, as every plan of a problem begins: a search makes hundreds of them. */
type Blank = Pick<State, "placed" | "endOf" | "pieces" | "completion" | "orderCost" | "missing" | "orderSum" | "conflicts"> & {
  readonly room: Int32Array;
  readonly orderLate: Int8Array;
  readonly ruleOverdue: Int8Array;
};
const blanks = new WeakMap<Model, Blank>();

export class State {
  readonly model: Model;
  readonly weights: CostWeights;
  readonly placed: (Placement | null)[];
  /** End of each placed lot, and where its links bind; OFF when it is not placed. */
  readonly endOf: Int32Array;
  readonly boundOf: Int32Array;
  /** Pieces of each lot row; 0: not used by the present cut. */
  readonly pieces: Int32Array;
  private readonly queues: MachineQueues;
  /** Per machine, by start; and their starts, their ends and the families they leave. */
  readonly lists: readonly (readonly Placement[])[];
  readonly starts: readonly Int32Array[];
  readonly ends: readonly Int32Array[];
  readonly families: readonly Int32Array[];
  readonly crews: Profile[];
  readonly supplies: Profile[];
  /** Crews, then supplies. */
  readonly pools: Profile[];
  readonly kits: Profile[];
  /** Family each machine stands in before the first listed work. */
  readonly firstFamily: Int32Array;
  /** Completion of each order; while lots are off, no later than it can be once they are back. */
  readonly completion: Int32Array;
  /** Cost of each order by itself. */
  readonly orderCost: Float64Array;
  private readonly orderLate: Int8Array;
  private readonly opDisturbance: Float64Array;
  private readonly machineLapsed: Int32Array;
  private readonly ruleOverdue: Int8Array;
  private readonly spanFrom: Int32Array;
  private readonly spanUntil: Int32Array;
  /** What changed, and how: side by side, for a search makes and takes back thousands a second. */
  private readonly log: (Placement | PiecesBefore)[] = [];
  private readonly logKind: number[] = [];
  conflicts = 0;
  /** Lots in use that stand nowhere; services of run-hour rules do not count, their list's end may stay off. */
  missing = 0;
  orderSum = 0;
  waiting = 0;
  setup = 0;
  unsocial = 0;
  disturbance = 0;
  /** Published operations that lie otherwise than published. */
  moved = 0;

  constructor(model: Model) {
    this.model = model;
    this.weights = model.problem.weights;
    const known = blanks.get(model);
    this.queues = new MachineQueues(known?.room ?? roomAtFirst(model.machines.length));
    this.lists = this.queues.lists;
    this.starts = this.queues.starts;
    this.ends = this.queues.ends;
    this.families = this.queues.families;
    const profile = (step: StepFunction) => new Profile(step, -CALENDAR_LEAD_MINUTES, model.horizon);
    this.crews = model.headcounts.map(profile);
    this.supplies = model.amounts.map(profile);
    this.pools = [...this.crews, ...this.supplies];
    this.kits = model.kitCounts.map(profile);
    this.firstFamily = Int32Array.from(model.machines, (machine) => machine.standsIn);
    const latest = new Map<number, number>();
    for (const work of model.done) {
      work.mode.machines.forEach((machine, i) => {
        const family = work.mode.families[i]!;
        if (family >= 0 && work.start >= (latest.get(machine) ?? -FAR)) {
          latest.set(machine, work.start);
          this.firstFamily[machine] = family;
        }
      });
    }
    this.opDisturbance = new Float64Array(model.ops.length);
    this.machineLapsed = new Int32Array(model.machines.length);
    this.spanFrom = new Int32Array(model.spans.length);
    this.spanUntil = new Int32Array(model.spans.length);
    if (known !== undefined) {
      this.placed = known.placed.slice();
      this.endOf = known.endOf.slice();
      this.boundOf = known.endOf.slice();
      this.pieces = known.pieces.slice();
      this.completion = known.completion.slice();
      this.orderCost = known.orderCost.slice();
      this.orderLate = known.orderLate.slice();
      this.ruleOverdue = known.ruleOverdue.slice();
      this.missing = known.missing;
      this.orderSum = known.orderSum;
      this.conflicts = known.conflicts;
      for (const span of model.spans) this.refreshSpan(span.index);
      return;
    }
    this.placed = model.items.map(() => null);
    this.endOf = new Int32Array(model.items.length).fill(OFF);
    this.boundOf = this.endOf.slice();
    this.pieces = new Int32Array(model.items.length);
    this.completion = new Int32Array(model.orders.length);
    this.orderCost = new Float64Array(model.orders.length);
    this.orderLate = new Int8Array(model.orders.length);
    this.ruleOverdue = new Int8Array(model.rules.length);
    for (const op of model.ops) {
      this.cutEvenly(op, 1, false);
      if (op.rule === NONE) for (const item of op.items) if (this.pieces[item]! > 0) this.missing++;
    }
    for (const order of model.orders) this.refreshOrder(order.index);
    for (const rule of model.rules) this.refreshRule(rule.index);
    blanks.set(model, {
      room: this.queues.room,
      placed: this.placed.slice(),
      endOf: this.endOf.slice(),
      pieces: this.pieces.slice(),
      completion: this.completion.slice(),
      orderCost: this.orderCost.slice(),
      orderLate: this.orderLate.slice(),
      ruleOverdue: this.ruleOverdue.slice(),
      missing: this.missing,
      orderSum: this.orderSum,
      conflicts: this.conflicts,
    });
    for (const span of model.spans) this.refreshSpan(span.index);
  }

  mark(): number {
    return this.log.length;
  }

  /** Takes back everything since the mark. */
  undoTo(mark: number): void {
    while (this.log.length > mark) {
      const change = this.log.pop()!;
      const kind = this.logKind.pop()!;
      if (kind === PUT) this.take(change as Placement);
      else if (kind === TAKEN) this.put(change as Placement);
      else this.changePieces(change.item, change.pieces);
    }
  }

  /** Rows of the lots that were put, taken off or cut anew since the log was last forgotten; some more than once. */
  eachChange(visit: (item: number) => void): void {
    for (const change of this.log) visit(change.item);
  }

  forget(): void {
    this.log.length = 0;
    this.logKind.length = 0;
  }

  insert(placement: Placement): void {
    this.log.push(placement);
    this.logKind.push(PUT);
    this.put(placement);
  }

  remove(placement: Placement): void {
    this.log.push(placement);
    this.logKind.push(TAKEN);
    this.take(placement);
  }

  setPieces(item: number, pieces: number): void {
    invariant(this.placed[item] === null, "a placed lot keeps its pieces");
    this.log.push({ item, pieces: this.pieces[item]! });
    this.logKind.push(RECUT);
    this.changePieces(item, pieces);
  }

  private changePieces(item: number, pieces: number): void {
    if (this.model.ops[this.model.items[item]!.op]!.rule === NONE)
      this.missing += Number(pieces > 0) - Number(this.pieces[item]! > 0);
    this.pieces[item] = pieces;
  }

  /** Cuts the free pieces of an operation into so many nearly even lots; all of its free lots must be off. */
  cutEvenly(op: DenseOp, lots: number, logged = true): void {
    const free = op.items.filter((item) => !this.model.items[item]!.running);
    for (const item of op.items) {
      const { running } = this.model.items[item]!;
      if (running !== null) this.pieces[item] = running.pieces;
    }
    let left = op.freePieces;
    free.forEach((item, i) => {
      const mine = i < lots ? Math.ceil(left / (lots - i)) : 0;
      left -= mine;
      if (logged) this.setPieces(item, mine);
      else this.pieces[item] = mine;
    });
  }

  positionAfter(machine: number, minute: number): number {
    return this.queues.positionAfter(machine, minute);
  }

  positionFrom(machine: number, minute: number): number {
    return this.queues.positionFrom(machine, minute);
  }

  positionOf(machine: number, placement: Placement): number {
    return this.queues.positionOf(machine, placement);
  }

  /** The family the machine stands in just before the entry at the position. */
  familyBefore(machine: number, position: number): number {
    const families = this.families[machine]!;
    for (let i = position - 1; i >= 0; i--) if (families[i]! >= 0) return families[i]!;
    return this.firstFamily[machine]!;
  }

  /** Setup minutes the placed lot needs after the work now before it. */
  setupNeeded(placement: Placement): number {
    return this.setupAfter(placement.mode, (machine) => this.positionOf(machine, placement));
  }

  /** Setup minutes a lot in the mode would need after the work now before the minute, or beginning there. */
  setupAt(mode: DenseMode, start: number): number {
    return this.setupAfter(mode, (machine) => this.positionFrom(machine, start + 1));
  }

  private setupAfter(mode: DenseMode, positionOn: (machine: number) => number): number {
    let most = 0;
    for (let k = 0; k < mode.machines.length; k++) {
      const family = mode.families[k]!;
      if (family < 0) continue;
      const machine = mode.machines[k]!;
      const minutes = setupBetween(this.model.machines[machine]!, this.familyBefore(machine, positionOn(machine)), family);
      if (minutes > most) most = minutes;
    }
    return most;
  }

  /** All lots of the operation that are in use stand in the plan. */
  complete(op: DenseOp): boolean {
    for (const item of op.items) if (this.pieces[item]! > 0 && this.placed[item] === null) return false;
    return true;
  }

  /** Weighted cost of what is placed, conflicts apart. A lower bound of the finished plan's while lots are off. */
  get cost(): number {
    const w = this.weights;
    let sum =
      this.orderSum +
      w.waiting * this.waiting +
      w.setup * this.setup +
      w.unsocial * Math.ceil(this.unsocial / 100) +
      w.disturbance * this.disturbance;
    if (w.makespan !== 0 || w.maxLateness !== 0) {
      let latest = 0;
      let lateness = -FAR;
      for (const order of this.model.orders) {
        const end = this.completion[order.index]!;
        if (end === -FAR || order.finished) continue;
        if (end > latest) latest = end;
        if (order.due < FAR && end - order.due > lateness) lateness = end - order.due;
      }
      sum += w.makespan * latest + (lateness > -FAR ? w.maxLateness * lateness : 0);
    }
    return sum;
  }

  /** Of a finished plan: what is missing counts as conflicts. */
  get value(): number {
    return (this.conflicts + this.missing) * CONFLICT_COST + this.cost;
  }

  /** While lots are off: no more than what the plan will be worth once they are back. */
  get partialValue(): number {
    return this.conflicts * CONFLICT_COST + this.cost;
  }

  private put(p: Placement): void {
    invariant(this.endOf[p.item] === OFF, "placed twice");
    const { mode } = p;
    for (const machine of mode.machines) this.queues.add(machine, p);
    this.use(p, -1);
    this.conflicts += this.broken(p);
    this.placed[p.item] = p;
    this.endOf[p.item] = p.end;
    this.boundOf[p.item] = p.bound;
    if ((this.model.lean.traits[p.op]! & SERVICE) === 0) this.missing--;
    this.after(p, 1);
  }

  private take(p: Placement): void {
    invariant(this.placed[p.item] === p, "taken off though not there");
    for (const machine of p.mode.machines) this.queues.remove(machine, p);
    this.use(p, 1);
    this.placed[p.item] = null;
    this.endOf[p.item] = OFF;
    this.boundOf[p.item] = OFF;
    if ((this.model.lean.traits[p.op]! & SERVICE) === 0) this.missing++;
    this.conflicts -= this.broken(p);
    this.after(p, -1);
  }

  /** Takes the phase's people and supplies (sign -1), or gives them back (1). */
  charge({ choice, stretches }: PlacedPhase, sign: number): void {
    const { uses } = choice;
    for (let u = 0; u < uses.length; u += 2) {
      const pool = this.pools[uses[u]!]!;
      const amount = sign * uses[u + 1]!;
      for (let i = 0; i < stretches.length; i += 2) pool.add(stretches[i]!, stretches[i + 1]!, amount);
    }
  }

  private use(p: Placement, sign: number): void {
    const { phases } = p;
    for (let k = 0; k < phases.length; k++) this.charge(phases[k]!, sign);
    if ((this.model.lean.traits[p.op]! & HOLDS_KITS) === 0) return;
    const op = this.model.ops[p.op]!;
    for (let k = 0; k < op.kits.length; k++) this.kits[op.kits[k]!]!.add(p.start, p.end, sign * op.kitCounts[k]!);
  }

  /** Rules that the lot breaks by itself and with other placed work. */
  private broken(p: Placement): number {
    const traits = this.model.lean.traits[p.op]!;
    let sum = brokenLags(this, p);
    if ((traits & TIED) !== 0) sum += brokenTies(this, p);
    if ((traits & BOUND) !== 0) sum += lotConflicts(this.model, p);
    return sum;
  }

  private after(p: Placement, sign: number): void {
    const { lean } = this.model;
    const traits = lean.traits[p.op]!;
    this.waiting += sign * p.waiting;
    if (!p.running) this.setup += sign * p.setup;
    this.unsocial += sign * p.unsocial;
    if ((traits & PUBLISHED) !== 0) {
      const op = this.model.ops[p.op]!;
      const now = disturbanceOf(this, op);
      this.disturbance += now - this.opDisturbance[op.index]!;
      this.moved += Number(now > 0) - Number(this.opDisturbance[op.index]! > 0);
      this.opDisturbance[op.index] = now;
    }
    const end = p.end + lean.tailOf[p.op]!;
    const order = lean.orderOf[p.op]!;
    const known = this.completion[order]!;
    // only what ends last, or ends later than all else, changes when its order is complete
    if (sign > 0) {
      if (end > known) this.completeOrder(order, end);
    } else if (end >= known) this.refreshOrder(order);
    if ((traits & (SPANS_KITS | RENEWS)) === 0) return;
    const op = this.model.ops[p.op]!;
    for (const span of op.spans) this.refreshSpan(span.index);
    const recount = op.needsCalibrations.length > 0 || op.calibrates.length > 0;
    for (const machine of p.mode.machines) {
      if (recount) {
        const lapsed = calibrationsLapsed(this, machine);
        this.conflicts += lapsed - this.machineLapsed[machine]!;
        this.machineLapsed[machine] = lapsed;
      }
      for (const rule of this.model.machines[machine]!.rules) this.refreshRule(rule);
    }
  }

  private refreshRule(index: number): void {
    const overdue = overdueRule(this, this.model.rules[index]!) ? 1 : 0;
    this.conflicts += overdue - this.ruleOverdue[index]!;
    this.ruleOverdue[index] = overdue;
  }

  private refreshOrder(index: number): void {
    const order = this.model.orders[index]!;
    let end = Math.max(order.doneEnd, order.aloneEnd);
    for (const index of order.ops) {
      const op = this.model.ops[index]!;
      for (const item of op.items) {
        const p = this.placed[item];
        if (p && p.end + op.tail > end) end = p.end + op.tail;
      }
    }
    this.completeOrder(index, end);
  }

  private completeOrder(index: number, end: number): void {
    const order = this.model.orders[index]!;
    let cost = 0;
    let late = 0;
    if (end > -FAR && !order.finished) {
      const w = this.weights;
      const tardy = end - order.due;
      if (tardy > 0) cost += order.weight * (w.tardiness * tardy + w.lateOrders);
      cost += w.flow * order.weight * (end - order.flowFrom);
      if (end > order.deadline) late = 1;
    }
    this.completion[index] = end;
    this.orderSum += cost - this.orderCost[index]!;
    this.orderCost[index] = cost;
    this.conflicts += late - this.orderLate[index]!;
    this.orderLate[index] = late;
  }

  /** [from, until) over which the kit of the span is held now; from > until: not at all. */
  spanHold(index: number): readonly [number, number] {
    return [this.spanFrom[index]!, this.spanUntil[index]!];
  }

  private refreshSpan(index: number): void {
    const span = this.model.spans[index]!;
    const from = this.model.ops[span.from]!;
    const to = this.model.ops[span.to]!;
    let start = from.doneStart === NONE ? FAR : from.doneStart;
    let end = to.doneEnd === NONE ? -FAR : to.doneEnd;
    let given = from.doneStart !== NONE;
    for (const item of from.items) {
      const p = this.placed[item];
      if (!p) continue;
      if (p.start < start) start = p.start;
      if (p.end > end) end = p.end;
      if (p.fixed) given = true;
    }
    for (const item of to.items) {
      const p = this.placed[item];
      if (p && p.end > end) end = p.end;
    }
    // what is already out stays out until it comes back, so nobody may plan with it meanwhile
    if (given && !this.complete(to)) end = this.model.horizon;
    if (start >= FAR) end = start;
    const kit = this.kits[span.kit]!;
    kit.add(this.spanFrom[index]!, this.spanUntil[index]!, span.count);
    this.spanFrom[index] = start;
    this.spanUntil[index] = end;
    kit.add(start, end, -span.count);
  }
}
