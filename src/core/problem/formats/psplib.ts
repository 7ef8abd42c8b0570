/**
 * The single-mode project format `.sm`: a head, the sections PRECEDENCE RELATIONS, REQUESTS/DURATIONS and RESOURCEAVAILABILITIES.
 * The first and last activity are the format's dummies (duration 0) and stay in, so activity numbers are the file's minus one.
 * Release, due date and tardiness figures play no part. Faults: other modes or resource kinds, missing sections, cycles.
 * Source: R. Kolisch, A. Sprecher, PSPLIB - a project scheduling problem library, European J. of Operational Research 96, 1997.
 */
import type { Fault, Result } from "../../ground/result.ts";
import type { Project, ProjectActivity } from "../classical.ts";
import { readFormat } from "./read-format.ts";
import { COUNT_MAX, FormatFault, filledLines, type Line, lineAt, NumberReader, TIME_MAX } from "./text-lines.ts";

export function readPsplib(text: string): Result<Project, Fault> {
  return readFormat(() => {
    const lines = filledLines(text).filter((line) => !line.words.every((word) => /^[*-]+$/.test(word)));
    const jobCount = figureAfter(lines, "jobs", 1, COUNT_MAX);
    const supplies = figureAfter(lines, "- renewable", 0, 1000);
    for (const kind of ["- nonrenewable", "- doubly constrained"]) {
      const found = lines.find((line) => line.words.join(" ").startsWith(kind));
      if (found !== undefined && figureAfter(lines, kind, 0, 1000) > 0) {
        throw new FormatFault(found.number, `expected no ${kind.slice(2)} resources: only renewable ones are read`);
      }
    }
    const successors = readSuccessors(lines, jobCount);
    const requests = readRequests(lines, jobCount, supplies);
    const section = sectionStart(lines, "RESOURCEAVAILABILITIES:");
    const reader = new NumberReader(lineAt(lines, section + 2, "the resource availabilities"));
    const capacities = Array.from({ length: supplies }, (_, r) => reader.take(`the capacity of R ${r + 1}`, 0, TIME_MAX));
    reader.close();
    const activities: ProjectActivity[] = requests.map(({ duration, demands, line }, k) => {
      for (const [r, demand] of demands.entries()) {
        const capacity = capacities[r];
        if (capacity !== undefined && demand > capacity) {
          throw new FormatFault(line, `expected at most ${capacity} of R ${r + 1}, activity ${k + 1} asks for ${demand}`);
        }
      }
      return { duration, demands, successors: successors[k] ?? [] };
    });
    refuseCycle(activities, lineAt(lines, sectionStart(lines, "PRECEDENCE RELATIONS:"), "the precedence relations").number);
    return { capacities, activities };
  });
}

/** The figure behind the colon of a head line such as `jobs (incl. supersource/sink ):  32`. */
function figureAfter(lines: readonly Line[], title: string, low: number, high: number): number {
  const line = lines.find(
    (candidate) => candidate.words.join(" ").startsWith(title) && candidate.words.some((word) => word.endsWith(":")),
  );
  if (line === undefined) throw new FormatFault(1, `expected a line \`${title} ...: figure\` in the head`);
  const colon = line.words.findIndex((word) => word.endsWith(":"));
  return new NumberReader({ number: line.number, words: line.words.slice(colon + 1) }).take(
    `the figure of \`${title}\``,
    low,
    high,
  );
}

function sectionStart(lines: readonly Line[], title: string): number {
  const found = lines.findIndex((line) => line.words.join(" ") === title);
  if (found < 0) throw new FormatFault((lines.at(-1)?.number ?? 0) + 1, `expected a section \`${title}\``);
  return found;
}

function readSuccessors(lines: readonly Line[], jobCount: number): number[][] {
  const start = sectionStart(lines, "PRECEDENCE RELATIONS:") + 2;
  return Array.from({ length: jobCount }, (_, k) => {
    const reader = new NumberReader(lineAt(lines, start + k, `the successors of activity ${k + 1}`));
    reader.take(`activity number ${k + 1}`, k + 1, k + 1);
    reader.take("exactly one mode", 1, 1);
    const count = reader.take("the number of successors", 0, jobCount);
    const list = Array.from({ length: count }, () => reader.take("a successor", 1, jobCount) - 1);
    reader.close();
    return list;
  });
}

function readRequests(
  lines: readonly Line[],
  jobCount: number,
  supplies: number,
): { duration: number; demands: number[]; line: number }[] {
  const start = sectionStart(lines, "REQUESTS/DURATIONS:") + 2;
  return Array.from({ length: jobCount }, (_, k) => {
    const line = lineAt(lines, start + k, `the request of activity ${k + 1}`);
    const reader = new NumberReader(line);
    reader.take(`activity number ${k + 1}`, k + 1, k + 1);
    reader.take("mode 1", 1, 1);
    const duration = reader.take("a duration", 0, TIME_MAX);
    const demands = Array.from({ length: supplies }, (_, r) => reader.take(`the demand for R ${r + 1}`, 0, TIME_MAX));
    reader.close();
    return { duration, demands, line: line.number };
  });
}

/** Peels off activities without open predecessors (Kahn, CACM 5, 1962); what remains stands on a cycle. */
function refuseCycle(activities: readonly ProjectActivity[], line: number): void {
  const open = new Array<number>(activities.length).fill(0);
  for (const activity of activities) for (const s of activity.successors) open[s] = (open[s] ?? 0) + 1;
  const ready = activities.map((_, k) => k).filter((k) => open[k] === 0);
  let peeled = 0;
  for (let k = ready.pop(); k !== undefined; k = ready.pop()) {
    peeled += 1;
    for (const s of activities[k]?.successors ?? []) {
      const left = (open[s] ?? 0) - 1;
      open[s] = left;
      if (left === 0) ready.push(s);
    }
  }
  if (peeled === activities.length) return;
  const stuck = open.findIndex((count) => count > 0);
  throw new FormatFault(line, `expected precedence without a cycle, activity ${stuck + 1} waits for itself`);
}
