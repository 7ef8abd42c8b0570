/** `slotwright night`: unattended work that could start before people leave. The last line on stdout is one JSON object. */
import { writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { writePlanFile } from "../contract/plan-file.ts";
import { localText, wallClock } from "../core/calendar/wall-clock.ts";
import { nightFill } from "../core/plan/night-fill.ts";
import { CommandFailure } from "./failure.ts";
import { wholeOption } from "./options.ts";
import { readPlan, readProblem } from "./read-input.ts";

export const NIGHT_HELP = `slotwright night <problem> <plan> [options]
  Which unattended work could start before people leave, so that machines which may work alone do. No order becomes late or
  later than it is. A plan is no permission: whether a machine may be left alone is for local rules and the people responsible
  to decide. Exit code 1: nothing to propose.
  --days N               nights that begin within N days (default 7)
  --machine M            only this one; may be repeated
  --least MINUTES        less than so many night minutes are not worth a change (default 60)
  --still                nothing else may move
  --out FILE             the plan with all proposals`;

const DAY = 1440;

export function nightCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      days: { type: "string" },
      machine: { type: "string", multiple: true },
      least: { type: "string" },
      still: { type: "boolean" },
      out: { type: "string" },
    },
  });
  const [problemFile, planFile, ...rest] = positionals;
  if (problemFile === undefined || planFile === undefined || rest.length > 0) throw new CommandFailure(NIGHT_HELP);
  const problem = readProblem(problemFile, "json");
  const plan = readPlan(planFile, problem);
  for (const id of values.machine ?? [])
    if (!problem.machines.some((machine) => machine.id === id))
      throw new CommandFailure(`--machine ${id}: there is no such machine`);
  const days = wholeOption("days", values.days, 1, 366) ?? 7;
  const least = wholeOption("least", values.least, 1, DAY);
  const fill = nightFill(problem, plan, {
    until: problem.now + days * DAY,
    moves: values.still !== true,
    ...(values.machine === undefined ? {} : { machines: values.machine }),
    ...(least === undefined ? {} : { gainLeast: least }),
  });
  const clock = wallClock(problem.zone, problem.origin);
  const when = (minute: number | null): string => (minute === null ? "nowhere" : localText(clock, minute));
  for (const { operation, machine, start, plannedStart, nightMinutes, gain, moved } of fill.proposals) {
    console.log(
      `${operation} on ${machine}: start ${when(start)} (planned: ${when(plannedStart)}), ${nightMinutes} min alone that night, ${gain} more than now`,
    );
    for (const one of moved) console.log(`  ${one.operation} makes room: ${when(one.from)} to ${when(one.to)}`);
  }
  for (const { machine, week, possible, used } of fill.after) {
    const before = fill.before.find((one) => one.machine === machine && one.week === week)?.used ?? 0;
    if (possible > 0) console.log(`${machine}, week of ${week}: ${before} -> ${used} of ${possible} night minutes`);
  }
  if (values.out !== undefined) writeFileSync(values.out, `${JSON.stringify(writePlanFile(problem, fill.plan), null, 2)}\n`);
  const { plan: _plan, proposals, ...use } = fill;
  console.log(JSON.stringify({ proposals: proposals.map(({ changes: _changes, ...proposal }) => proposal), ...use }));
  return fill.proposals.length > 0 ? 0 : 1;
}
