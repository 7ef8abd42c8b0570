/**
 * Search over lists for small problems: the order in which work is committed is changed a little and everything is decoded anew, under
 * annealing of its own. It reaches plans that no step of ruin and recreate leads to, because everything may lie otherwise at once;
 * beyond some hundred operations a decode costs too much and says too little. Lists keep the order of links.
 */
import type { Random } from "../../ground/prng.ts";
import type { CommitOrder } from "../construct/dispatch.ts";
import { type Model, NONE } from "../decode/model.ts";
import type { State } from "../decode/state.ts";

export class ListSearch {
  private readonly model: Model;
  private readonly random: Random;
  private readonly place: Int32Array;
  private list: Int32Array;
  private value: number;
  /** Units that must come before and after each unit. */
  private readonly before: readonly (readonly number[])[];
  private readonly after: readonly (readonly number[])[];

  constructor(model: Model, random: Random, list: CommitOrder) {
    this.model = model;
    this.random = random;
    this.list = list.slice();
    this.value = Number.POSITIVE_INFINITY;
    this.place = new Int32Array(model.ops.length).fill(NONE);
    const unit = (op: number): number => model.ops[op]!.block[0] ?? op;
    const before: number[][] = model.ops.map(() => []);
    const after: number[][] = model.ops.map(() => []);
    for (const link of model.links) {
      const from = unit(link.from);
      const to = unit(link.to);
      if (link.kind === "sameMachine" || from === to) continue;
      after[from]!.push(to);
      before[to]!.push(from);
    }
    this.before = before;
    this.after = after;
  }

  /** Another list, decoded; kept or not. The state it gave. */
  step(decode: (list: CommitOrder) => State, temperature: number): State {
    const { random } = this;
    const kept = this.list;
    this.list = kept.slice();
    if (this.value < Number.POSITIVE_INFINITY) {
      if (random.int(3) === 0) this.advanceOrder();
      else for (let n = 1 + random.int(3); n > 0; n--) this.shift(random.int(kept.length), kept.length);
    }
    const state = decode(this.list);
    if (state.value <= this.value - temperature * Math.log(1 - random.next())) this.value = state.value;
    else this.list = kept;
    return state;
  }

  /** All work of one order comes earlier, or all of it later. */
  private advanceOrder(): void {
    const { list, model, random } = this;
    const { order } = model.ops[list[random.int(list.length)]!]!;
    const later = random.int(3) === 0;
    const reach = 1 + random.int(list.length);
    const mine = Array.from(list.keys()).filter((at) => model.ops[list[at]!]!.order === order);
    if (later) for (const at of mine.toReversed()) this.moveTo(at, at + reach);
    else for (const at of mine) this.moveTo(at, at - reach);
  }

  private shift(at: number, reach: number): void {
    this.moveTo(at, at + this.random.int(2 * reach + 1) - reach);
  }

  /** As near to the wanted place as links allow. */
  private moveTo(at: number, wanted: number): void {
    const { list, place } = this;
    const unit = list[at]!;
    for (let i = 0; i < list.length; i++) place[list[i]!] = i;
    let low = 0;
    let high = list.length - 1;
    for (const other of this.before[unit]!) if (place[other]! !== NONE) low = Math.max(low, place[other]! + 1);
    for (const other of this.after[unit]!) if (place[other]! !== NONE) high = Math.min(high, place[other]! - 1);
    if (low > high) return; // the list it began with did not keep to the links here
    const to = Math.max(low, Math.min(high, wanted));
    if (to < at) list.copyWithin(to + 1, to, at);
    else list.copyWithin(at, at + 1, to + 1);
    list[to] = unit;
  }
}
