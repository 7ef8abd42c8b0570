/**
 * The most minutes that machines can work alone while nobody is on site, over all plans of a shop of `nightShop`, by trying every
 * begin of every operation: solid phases back to back, one machine at a time, enough people for what is attended, the longest time
 * alone kept, the horizon and the latest end of each order too. Straight from those rules, without calendars or code of the product.
 */
import type { Operation } from "../../src/core/orders/operation.ts";
import type { Problem } from "../../src/core/problem/problem.ts";

type Choice = {
  readonly machine: string;
  readonly start: number;
  readonly end: number;
  /** Until here somebody is needed. */
  readonly attended: number;
  readonly night: number;
};

export function mostNight(problem: Problem, latest: ReadonlyMap<string, number>): number {
  const crew = problem.crews[0];
  const onSite = Array.from({ length: problem.horizon }, (_, m) => crew?.present.some(([a, b]) => a <= m && m < b) === true);
  const people = Array.from({ length: problem.horizon }, (_, m) => {
    const at = crew?.headcount.at ?? [];
    const step = at.findLastIndex((from) => from <= m);
    return (crew?.headcount.value[step] ?? 0) / 100;
  });
  const lists = problem.operations
    .map((operation) => choicesOf(problem, operation, latest.get(operation.order) ?? problem.horizon, onSite))
    .sort((a, b) => (b[0]?.night ?? 0) - (a[0]?.night ?? 0));
  const rest = lists.map((_, i) => lists.slice(i).reduce((sum, list) => sum + (list[0]?.night ?? 0), 0));
  const free = [...people];
  const taken: Choice[] = [];
  let best = -1;
  const search = (depth: number, night: number): void => {
    if (depth === lists.length) {
      best = Math.max(best, night);
      return;
    }
    if (night + (rest[depth] ?? 0) <= best) return;
    for (const choice of lists[depth] ?? []) {
      if (night + choice.night + (rest[depth + 1] ?? 0) <= best) return;
      if (taken.some((other) => other.machine === choice.machine && other.start < choice.end && choice.start < other.end))
        continue;
      let enough = true;
      for (let m = choice.start; m < choice.attended; m++) if ((free[m] ?? 0) < 1) enough = false;
      if (!enough) continue;
      for (let m = choice.start; m < choice.attended; m++) free[m] = (free[m] ?? 0) - 1;
      taken.push(choice);
      search(depth + 1, night + choice.night);
      taken.pop();
      for (let m = choice.start; m < choice.attended; m++) free[m] = (free[m] ?? 0) + 1;
    }
  };
  search(0, 0);
  return best;
}

/** Every machine and begin that is possible by itself, the most night minutes first. */
function choicesOf(problem: Problem, operation: Operation, latest: number, onSite: readonly boolean[]): readonly Choice[] {
  const out: Choice[] = [];
  for (const mode of operation.modes) {
    const machine = problem.machines.find(({ id }) => id === mode.machines[0]);
    const most = machine?.unattended.kind === "allowed" ? (machine.unattended.maxMinutes ?? problem.horizon) : 0;
    const [attended, alone] = [true, false].map((needed) =>
      mode.phases.reduce(
        (sum, { needs, work }) => sum + (needs.length > 0 === needed && work.kind === "fixed" ? work.minutes : 0),
        0,
      ),
    ) as [number, number];
    for (let start = problem.now; start + attended + alone <= Math.min(problem.horizon, latest); start++) {
      const [begin, end] = [start + attended, start + attended + alone];
      let possible = true;
      for (let m = start; m < begin; m++) if (!onSite[m]) possible = false;
      let night = 0;
      for (let m = begin; m < end; m++) {
        if (onSite[m]) continue;
        night++;
        let emptied = m;
        while (emptied > 0 && !onSite[emptied - 1]) emptied--;
        if (m - emptied >= most) possible = false;
      }
      if (possible) out.push({ machine: mode.machines[0] ?? "", start, end, attended: begin, night });
    }
  }
  return out.sort((a, b) => b.night - a.night);
}
