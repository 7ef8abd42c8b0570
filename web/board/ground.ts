/**
 * The ground under the bars: when nobody is on site (night), whole days without anybody (closed), and the shifts named on the axis.
 * Night is whatever lies between two presences; whole local days inside it are closed days.
 * Pure. Without crews somebody is always on site, as in the planning problem.
 */
import { clip, contains, type Intervals, intersect, normalise, subtract, union } from "../../src/core/calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES, type Interval } from "../../src/core/calendar/minute.ts";
import type { Crew } from "../../src/core/plant/crew.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import type { TickSource } from "./ticks.ts";

export type GroundKind = "day" | "night" | "closed";

/** A stretch with the same shifts on site. People in hundredths. */
export type ShiftStretch = {
  readonly start: number;
  readonly end: number;
  readonly names: readonly string[];
  readonly people: number;
};

export type Ground = {
  readonly start: number;
  readonly end: number;
  readonly onSite: Intervals;
  readonly night: Intervals;
  readonly closed: Intervals;
  readonly shifts: readonly ShiftStretch[];
};

/** No day is shorter, however far its clocks are put forward: an ordinary night holds none, and its dates need not be looked up. */
const DAY_LEAST = 20 * 60;

export function groundOf(problem: Problem, ticks: TickSource): Ground {
  const start = -CALENDAR_LEAD_MINUTES;
  const end = problem.horizon;
  const all: Intervals = [[start, end]];
  if (problem.crews.length === 0) return { start, end, onSite: all, night: [], closed: [], shifts: [] };
  const onSite = clip(union(...problem.crews.map(({ present }) => present)), start, end);
  const away = subtract(all, onSite);
  const wholeDays: Interval[] = [];
  for (const [from, until] of away) {
    if (until - from < DAY_LEAST) continue;
    const first = ticks.dayAt(from);
    for (let day = ticks.dayStart(first) < from ? first + 1 : first; ticks.dayStart(day + 1) <= until; day++) {
      wholeDays.push([ticks.dayStart(day), ticks.dayStart(day + 1)]);
    }
  }
  const closed = normalise(wholeDays);
  return { start, end, onSite, night: subtract(away, closed), closed, shifts: shiftStretches(problem.crews) };
}

/** Neighbouring stretches differ in names or people. Shifts of equal name in several crews count as one. */
function shiftStretches(crews: readonly Crew[]): readonly ShiftStretch[] {
  const shifts = crews.flatMap((crew) => crew.shifts).filter(({ start, end }) => start < end);
  const edges = [...new Set(shifts.flatMap(({ start, end }) => [start, end]))].sort((a, b) => a - b);
  const sorted = [...shifts].sort((a, b) => a.start - b.start);
  const out: ShiftStretch[] = [];
  let next = 0;
  let here: typeof sorted = [];
  for (let i = 0; i + 1 < edges.length; i++) {
    const start = edges[i] as number;
    const end = edges[i + 1] as number;
    while (next < sorted.length && (sorted[next]?.start ?? Infinity) <= start)
      here.push(sorted[next++] as (typeof sorted)[number]);
    here = here.filter((shift) => shift.end > start);
    if (here.length === 0) continue;
    const byName = new Map<string, number>();
    for (const { name, people } of here) byName.set(name, (byName.get(name) ?? 0) + people);
    const names = [...byName].sort((a, b) => b[1] - a[1] || a[0].localeCompare(b[0])).map(([name]) => name);
    const people = here.reduce((sum, shift) => sum + shift.people, 0);
    const last = out.at(-1);
    if (last && last.end === start && last.people === people && last.names.join() === names.join())
      out[out.length - 1] = { ...last, end };
    else out.push({ start, end, names, people });
  }
  return out;
}

export const groundAt = (ground: Ground, minute: number): GroundKind =>
  contains(ground.onSite, minute) ? "day" : contains(ground.closed, minute) ? "closed" : "night";

/** Minutes in which a machine is closed though somebody is on site: shading of its own row. Fixed closures are drawn as blocks. */
export const closedRow = (open: Intervals, closures: Intervals, ground: Ground): Intervals =>
  intersect(subtract(ground.onSite, open), subtract([[ground.start, ground.end]], closures));
