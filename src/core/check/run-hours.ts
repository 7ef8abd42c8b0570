/**
 * maintenanceOverdue: a machine's counter, given at now, grows by each minute its run phases work and is back to 0 at the
 * end of a maintenance operation of the rule; it never passes the limit. One conflict for each rule; amount = minutes past
 * the limit at the worst, interval = from the first minute past it to the next maintenance or the last run. O(n log n).
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { RunHourRule } from "../problem/problem.ts";
import { conflictOf, plannedLots, type Scene } from "./scene.ts";
import { sayDuration } from "./wording.ts";

export function checkRunHours(scene: Scene): void {
  const { problem } = scene;
  if (problem.runHourRules.length === 0) return;
  const runs = new Map<string, Interval[]>();
  for (const { phases } of plannedLots(scene)) {
    for (const { mode, phase, ahead } of phases) {
      if (phase.kind !== "run") continue;
      for (const machine of new Set(mode.machines)) {
        const list = runs.get(machine);
        if (list) list.push(...ahead);
        else runs.set(machine, [...ahead]);
      }
    }
  }
  for (const rule of problem.runHourRules) checkRule(scene, rule, runs.get(rule.machine) ?? []);
}

function checkRule({ problem, look, lots, at, write }: Scene, rule: RunHourRule, runs: readonly Interval[]): void {
  const resets = rule.operations
    .flatMap((id): Minute[] => {
      const planned = lots.ofOperation(id).filter((lot) => lot.planned !== null);
      return planned.length > 0 ? [Math.max(...planned.map(({ end }) => end))] : [];
    })
    .filter((end) => end >= problem.now)
    .sort((a, b) => a - b);
  // Between two resets the counter only grows, so each stretch is judged at its end.
  let counter = rule.counter;
  let from = problem.now;
  let worst = 0;
  let first: Interval | null = null;
  for (const until of [...resets, Number.MAX_SAFE_INTEGER]) {
    const ran = runs
      .map(([start, end]): Interval => [Math.max(start, from), Math.min(end, until)])
      .filter(([start, end]) => start < end);
    const minutes = ran.reduce((sum, [start, end]) => sum + end - start, 0);
    if (minutes > 0 && counter + minutes > rule.limit) {
      worst = Math.max(worst, counter + minutes - rule.limit);
      const lastRun = ran.reduce((latest, [, end]) => Math.max(latest, end), from);
      first ??= [passesAt(ran, rule.limit - counter), until === Number.MAX_SAFE_INTEGER ? lastRun : until];
    }
    counter = 0;
    from = until;
  }
  if (first === null) return;
  const sentence = `${look.machines.get(rule.machine)?.name ?? rule.machine} runs ${sayDuration(worst)} past the ${sayDuration(rule.limit)} after which maintenance is due, first at ${at(first[0])}.`;
  write(conflictOf("maintenanceOverdue", [], rule.id, first, worst, sentence));
}

/** The first minute that is worked when `left` minutes have been; runs may lie side by side. */
function passesAt(runs: readonly Interval[], left: Minute): Minute {
  const rising = runs.toSorted((a, b) => a[0] - b[0]);
  const edges = [...new Set(runs.flat())].sort((a, b) => a - b);
  let counted = 0;
  const active: Interval[] = [];
  let next = 0;
  for (let i = 0; i + 1 < edges.length; i++) {
    const [start, end] = [edges[i] as Minute, edges[i + 1] as Minute];
    for (let run = rising[next]; run !== undefined && run[0] <= start; run = rising[++next]) active.push(run);
    const beside = active.filter((run) => run[1] > start).length;
    if (beside > 0 && counted + beside * (end - start) > left) return start + Math.max(0, Math.floor((left - counted) / beside));
    counted += beside * (end - start);
  }
  return edges.at(-1) ?? 0;
}
