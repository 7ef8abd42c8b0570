/**
 * Rows of the board: group headings, machines and rigs under them, and rows for work that needs no machine.
 * Pure. Heights follow the chosen density; a row never moves while a bar is in the hand.
 */
import type { Machine, MachineId } from "../../src/core/plant/machine.ts";
import { BOARD, ROW } from "../tokens/tokens.ts";

export type Density = keyof typeof ROW;

export type Lane =
  /** null: work that needs no machine. */
  | { readonly kind: "group"; readonly name: string | null }
  /** `row` counts machines only, from 0: the row of the keyboard grid. */
  | { readonly kind: "machine"; readonly machine: Machine; readonly row: number }
  /** Work without a machine, packed into as many rows as overlap. */
  | { readonly kind: "bench"; readonly slot: number; readonly row: number };

export type Lanes = {
  readonly list: readonly Lane[];
  readonly ofMachine: ReadonlyMap<MachineId, number>;
  /** Indices of the rows for work without a machine. */
  readonly bench: readonly number[];
  /** Lane index of each row, in order. */
  readonly rows: readonly number[];
};

/** Groups in the order in which the shop names them; rigs keep their own groups. */
export function lanesOf(machines: readonly Machine[], benchRows: number): Lanes {
  const groups = new Map<string, Machine[]>();
  for (const machine of machines) {
    const group = groups.get(machine.group);
    if (group) group.push(machine);
    else groups.set(machine.group, [machine]);
  }
  const list: Lane[] = [];
  const ofMachine = new Map<MachineId, number>();
  const rows: number[] = [];
  const bench: number[] = [];
  for (const [name, members] of groups) {
    list.push({ kind: "group", name });
    for (const machine of members) {
      ofMachine.set(machine.id, list.length);
      rows.push(list.length);
      list.push({ kind: "machine", machine, row: rows.length - 1 });
    }
  }
  if (benchRows > 0) list.push({ kind: "group", name: null });
  for (let slot = 0; slot < benchRows; slot++) {
    bench.push(list.length);
    rows.push(list.length);
    list.push({ kind: "bench", slot, row: rows.length - 1 });
  }
  return { list, ofMachine, bench, rows };
}

/** Tops of all lanes for a density, and below the last one the height of all. */
export function laneTops(lanes: Lanes, density: Density): readonly number[] {
  const tops: number[] = [];
  let y = 0;
  for (const lane of lanes.list) {
    tops.push(y);
    y += lane.kind === "group" ? BOARD.groupHeading : ROW[density].row;
  }
  tops.push(y);
  return tops;
}

/** Index of the lane at y, or null outside all. */
export function laneAtY(tops: readonly number[], y: number): number | null {
  const count = tops.length - 1;
  if (y < 0 || y >= (tops[count] ?? 0)) return null;
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const middle = (low + high + 1) >>> 1;
    if ((tops[middle] as number) <= y) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Puts intervals into as few rows as possible, first come first placed; returns the row of each. */
export function packed(intervals: readonly { readonly start: number; readonly end: number }[]): {
  readonly slots: readonly number[];
  readonly rows: number;
} {
  const order = intervals.map((_, i) => i).sort((a, b) => (intervals[a]?.start ?? 0) - (intervals[b]?.start ?? 0) || a - b);
  const ends: number[] = [];
  const slots = new Array<number>(intervals.length).fill(0);
  for (const i of order) {
    const { start, end } = intervals[i] as { start: number; end: number };
    let slot = ends.findIndex((until) => until <= start);
    if (slot < 0) slot = ends.length;
    ends[slot] = Math.max(end, start + 1);
    slots[i] = slot;
  }
  return { slots, rows: ends.length };
}
