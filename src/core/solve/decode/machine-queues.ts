/** What stands on each machine, by start: the lots, and their starts, ends and families side by side for fast scans. */
import { invariant } from "../../ground/invariant.ts";
import type { Placement } from "./placement.ts";

const ROOM_FIRST = 64;
export const roomAtFirst = (machines: number): Int32Array => new Int32Array(machines).fill(ROOM_FIRST);

export class MachineQueues {
  readonly lists: Placement[][];
  readonly starts: Int32Array[];
  readonly ends: Int32Array[];
  /** The family each lot leaves the machine in; NONE where it changes nothing. */
  readonly families: Int32Array[];
  /** Entries each machine has needed room for so far; shared by all plans of a problem. */
  readonly room: Int32Array;

  constructor(room: Int32Array) {
    this.room = room;
    this.lists = Array.from(room, () => []);
    this.starts = Array.from(room, (entries) => new Int32Array(entries));
    this.ends = Array.from(room, (entries) => new Int32Array(entries));
    this.families = Array.from(room, (entries) => new Int32Array(entries));
  }

  /** Position of the first entry on the machine that ends after the minute. */
  positionAfter(machine: number, minute: number): number {
    const ends = this.ends[machine]!;
    let low = 0;
    let high = this.lists[machine]!.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (ends[middle]! > minute) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  /** Position of the first entry on the machine that starts at or after the minute. */
  positionFrom(machine: number, minute: number): number {
    const starts = this.starts[machine]!;
    let low = 0;
    let high = this.lists[machine]!.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (starts[middle]! < minute) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** Position of the placement in the list of the machine. */
  positionOf(machine: number, placement: Placement): number {
    const list = this.lists[machine]!;
    let at = this.positionFrom(machine, placement.start);
    while (at < list.length && list[at] !== placement) at++;
    invariant(at < list.length, "a placed lot stands in the list of its machine");
    return at;
  }

  /** Its position in the list of the machine from now on. */
  add(machine: number, p: Placement): number {
    const list = this.lists[machine]!;
    const count = list.length;
    let starts = this.starts[machine]!;
    let ends = this.ends[machine]!;
    let families = this.families[machine]!;
    if (count === starts.length) {
      this.room[machine] = Math.max(this.room[machine]!, count * 2);
      this.starts[machine] = starts = withRoom(starts);
      this.ends[machine] = ends = withRoom(ends);
      this.families[machine] = families = withRoom(families);
    }
    let i = this.positionFrom(machine, p.start);
    while (i < count && starts[i] === p.start) i++;
    list.push(p);
    for (let k = count; k > i; k--) {
      list[k] = list[k - 1]!;
      starts[k] = starts[k - 1]!;
      ends[k] = ends[k - 1]!;
      families[k] = families[k - 1]!;
    }
    list[i] = p;
    starts[i] = p.start;
    ends[i] = p.end;
    const { mode } = p;
    families[i] = mode.families[mode.machines.length === 1 ? 0 : mode.machines.indexOf(machine)]!;
    return i;
  }

  remove(machine: number, p: Placement): void {
    const list = this.lists[machine]!;
    const starts = this.starts[machine]!;
    const ends = this.ends[machine]!;
    const families = this.families[machine]!;
    const last = list.length - 1;
    for (let k = this.positionOf(machine, p); k < last; k++) {
      list[k] = list[k + 1]!;
      starts[k] = starts[k + 1]!;
      ends[k] = ends[k + 1]!;
      families[k] = families[k + 1]!;
    }
    list.pop();
  }
}

/** The same entries with room for as many again. */
function withRoom(entries: Int32Array): Int32Array {
  const out = new Int32Array(entries.length * 2);
  out.set(entries);
  return out;
}
