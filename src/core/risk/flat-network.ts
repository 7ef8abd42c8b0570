/**
 * The dispatch network once more as plain numbers, for thousands of courses: calendars laid end to end, equal ones once, with the
 * place of each phase's planned begin; what binds a phase by rows; who serves it by pools. Says nothing that the network does not.
 * O(nodes + arcs + stretches of calendars that differ), once a replay.
 */
import { type Intervals, indexAtOrAfter } from "../calendar/intervals.ts";
import type { Interval } from "../calendar/minute.ts";
import type { StepFunction } from "../calendar/step-function.ts";
import type { Arc, DispatchNetwork } from "../explain/dispatch-network.ts";
import { present } from "../ground/invariant.ts";

/** A crew or a supply, by its row among the pools, and how much of it the phase takes while it works. */
export type PoolUse = { readonly pool: number; readonly amount: number };

export const SOLID = 0;
export const PAUSABLE = 1;
export const PIECEWISE = 2;
/** Piecewise by name, without pieces: one piece. */
export const UNCUT = 3;

/** Stretches of one calendar are rows `from` to `until` of the whole list; `hint`: the one at or after the planned begin. */
export type CalendarRows = { readonly from: Int32Array; readonly until: Int32Array; readonly hint: Int32Array };

export type FlatNetwork = {
  readonly opens: Float64Array;
  readonly closes: Float64Array;
  readonly workable: CalendarRows;
  /** `from` -1: nobody need start it. */
  readonly startable: CalendarRows;
  readonly flow: Uint8Array;
  readonly minutes: Float64Array;
  /** 1: its work is in pieces. */
  readonly inPieces: Uint8Array;
  readonly seconds: Float64Array;
  readonly offset: Float64Array;
  readonly count: Float64Array;
  readonly earliest: Float64Array;
  readonly plannedBegin: Float64Array;
  /** Row of the order whose late material holds it up; -1: none. */
  readonly waitsFor: Int32Array;
  readonly before: Int32Array;
  /** Minute at which nobody need start it; NaN: none. */
  readonly handedOn: Float64Array;
  /** Arcs that bind node i, but for those of people and supplies: rows boundFrom[i] to boundFrom[i + 1]. */
  readonly boundFrom: Int32Array;
  readonly boundBy: Int32Array;
  readonly boundLag: Float64Array;
  /** The arc itself, where pieces are handed on; else null. */
  readonly boundPieces: readonly (Arc | null)[];
  /** Who had its people or supplies before it, by the plan. */
  readonly servedFrom: Int32Array;
  readonly servedBy: Int32Array;
  readonly limits: readonly StepFunction[];
  readonly uses: readonly (readonly PoolUse[])[];
  /** Of each lot: its order and its last node. */
  readonly lotOrder: Int32Array;
  readonly lotLast: Int32Array;
  readonly lotOf: Int32Array;
};

export function flatNetwork(network: DispatchNetwork): FlatNetwork {
  const { nodes, arcs, lots, problem } = network;
  const calendars = new Calendars();
  const n = nodes.length;
  const workable = calendars.rowsFor(nodes.map(({ course, plannedBegin }) => ({ list: course.workable, at: plannedBegin })));
  const startable = calendars.rowsFor(nodes.map(({ course, plannedBegin }) => ({ list: course.startable, at: plannedBegin })));
  const numbers = (of: (node: (typeof nodes)[number]) => number): Float64Array => Float64Array.from(nodes, of);
  const bound = arcRows(n, (i) => present(nodes[i], "node").into.filter((arc) => !isServed(present(arcs[arc], "arc"))));
  const served = arcRows(n, (i) => present(nodes[i], "node").into.filter((arc) => isServed(present(arcs[arc], "arc"))));
  const arcOf = (row: number): Arc => present(arcs[row], "arc");
  const pools = new Map([
    ...problem.crews.map(({ id }, row): [string, number] => [`crew ${id}`, row]),
    ...problem.supplies.map(({ id }, row): [string, number] => [`supply ${id}`, problem.crews.length + row]),
  ]);
  return {
    ...calendars.laid(),
    ...{ workable, startable },
    flow: Uint8Array.from(nodes, ({ course, pieces }) =>
      course.flow === "pausable" ? PAUSABLE : course.flow === "solid" ? SOLID : pieces === null ? UNCUT : PIECEWISE,
    ),
    minutes: numbers(({ minutes }) => minutes),
    inPieces: Uint8Array.from(nodes, ({ pieces }) => (pieces === null ? 0 : 1)),
    seconds: numbers(({ pieces }) => pieces?.seconds ?? 0),
    offset: numbers(({ pieces }) => pieces?.offset ?? 0),
    count: numbers(({ pieces }) => pieces?.count ?? 0),
    earliest: numbers(({ earliest }) => earliest),
    plannedBegin: numbers(({ plannedBegin }) => plannedBegin),
    waitsFor: Int32Array.from(nodes, ({ earliestBecause, lot }) =>
      earliestBecause === "release" ? present(lots[lot], "lot").order : -1,
    ),
    before: Int32Array.from(nodes, ({ before }) => before),
    handedOn: numbers(({ handedOn }) => handedOn ?? Number.NaN),
    boundFrom: bound.from,
    boundBy: Int32Array.from(bound.rows, (row) => arcOf(row).from),
    boundLag: Float64Array.from(bound.rows, (row) => arcOf(row).lag),
    boundPieces: Array.from(bound.rows, (row) => (arcOf(row).pieces === null ? null : arcOf(row))),
    servedFrom: served.from,
    servedBy: Int32Array.from(served.rows, (row) => arcOf(row).from),
    limits: [...problem.crews.map(({ headcount }) => headcount), ...problem.supplies.map(({ amount }) => amount)],
    uses: nodes.map(({ crews, supplies }) =>
      [
        ...[...crews].map(([id, amount]) => [`crew ${id}`, amount] as const),
        ...[...supplies].map(([id, amount]) => [`supply ${id}`, amount] as const),
      ]
        .filter(([key, amount]) => amount > 0 && pools.has(key))
        .map(([key, amount]) => ({ pool: present(pools.get(key), key), amount })),
    ),
    lotOrder: Int32Array.from(lots, ({ order }) => order),
    lotLast: Int32Array.from(lots, ({ last }) => last),
    lotOf: Int32Array.from(nodes, ({ lot }) => lot),
  };
}

const isServed = ({ because }: Arc): boolean => because.kind === "crew" || because.kind === "supply";

function arcRows(n: number, of: (node: number) => readonly number[]): { from: Int32Array; rows: Int32Array } {
  const from = new Int32Array(n + 1);
  const rows: number[] = [];
  for (let i = 0; i < n; i++) {
    rows.push(...of(i));
    from[i + 1] = rows.length;
  }
  return { from, rows: Int32Array.from(rows) };
}

/** Lays calendars end to end; a list that was laid before, or one equal to it, is laid once. */
class Calendars {
  private readonly opens: number[] = [];
  private readonly closes: number[] = [];
  private readonly known = new Map<Intervals, number>();
  private readonly alike = new Map<string, { readonly list: Intervals; readonly from: number }[]>();

  rowsFor(wanted: readonly { readonly list: Intervals | null; readonly at: number }[]): CalendarRows {
    const rows = {
      from: new Int32Array(wanted.length),
      until: new Int32Array(wanted.length),
      hint: new Int32Array(wanted.length),
    };
    wanted.forEach(({ list, at }, i) => {
      const from = list === null ? -1 : this.place(list);
      rows.from[i] = from;
      rows.until[i] = list === null ? -1 : from + list.length;
      rows.hint[i] = list === null ? -1 : from + indexAtOrAfter(list, at);
    });
    return rows;
  }

  laid(): { opens: Float64Array; closes: Float64Array } {
    return { opens: Float64Array.from(this.opens), closes: Float64Array.from(this.closes) };
  }

  private place(list: Intervals): number {
    const known = this.known.get(list);
    if (known !== undefined) return known;
    const key = `${list.length} ${list[0]} ${list.at(-1)}`;
    const alike = this.alike.get(key) ?? [];
    let from = alike.find((other) => sameIntervals(other.list, list))?.from;
    if (from === undefined) {
      from = this.opens.length;
      for (const [open, close] of list) {
        this.opens.push(open);
        this.closes.push(close);
      }
      this.alike.set(key, [...alike, { list, from }]);
    }
    this.known.set(list, from);
    return from;
  }
}

function sameIntervals(a: Intervals, b: Intervals): boolean {
  return a.every(([start, end], i) => {
    const [otherStart, otherEnd] = b[i] as Interval;
    return start === otherStart && end === otherEnd;
  });
}
