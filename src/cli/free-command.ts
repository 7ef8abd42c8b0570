/** `slotwright free`: free windows of a given length in a plan. The last line on stdout is one JSON object. */
import { parseArgs } from "node:util";
import { minuteOfMoment } from "../contract/file/moment.ts";
import { localText, wallClock } from "../core/calendar/wall-clock.ts";
import { freeWindows } from "../core/plan/free-windows.ts";
import { CommandFailure } from "./failure.ts";
import { numberOption, wholeOption } from "./options.ts";
import { readPlan, readProblem } from "./read-input.ts";

export const FREE_HELP = `slotwright free <problem> <plan> --hours H [options]
  Where so many hours on a machine or rig could be booked without moving anybody. Exit code 1: nowhere.
  --unattended           it may run while nobody is on site, where the machine's rule lets it
  --supply NAME=AMOUNT   drawn for the whole time; may be repeated
  --skill S              a person of that skill for the whole time
  --machine M            only this one; may be repeated
  --rigs                 only rigs
  --after DATE, --before DATE   begin and end within (a minute, a local date or date and time)
  --rest MINUTES         it may rest so long in all, over breaks of its people (default 0)
  --windows N            windows for each machine (default 3)`;

const HOURS_MAX = 24 * 366;

export function freeCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      hours: { type: "string" },
      unattended: { type: "boolean" },
      supply: { type: "string", multiple: true },
      skill: { type: "string" },
      machine: { type: "string", multiple: true },
      rigs: { type: "boolean" },
      after: { type: "string" },
      before: { type: "string" },
      rest: { type: "string" },
      windows: { type: "string" },
    },
  });
  const [problemFile, planFile, ...rest] = positionals;
  const hours = numberOption("hours", values.hours, 1 / 60, HOURS_MAX);
  if (problemFile === undefined || planFile === undefined || hours === undefined || rest.length > 0)
    throw new CommandFailure(FREE_HELP);
  const problem = readProblem(problemFile, "json");
  const plan = readPlan(planFile, problem);
  const clock = wallClock(problem.zone, problem.origin);
  const momentOf = (name: string, text: string, side: "begin" | "end"): number => {
    const shape = /^-?\d+$|^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(Z|[+-]\d{2}:\d{2})?)?$/;
    const minute = shape.test(text) ? minuteOfMoment(/^-?\d+$/.test(text) ? Number(text) : text, side, clock) : null;
    if (minute === null || !minute.ok)
      throw new CommandFailure(`--${name} ${text}: expected a minute, a date (2026-06-08) or a date and time (2026-06-08T07:00)`);
    return minute.value;
  };
  const windowsMost = wholeOption("windows", values.windows, 1, 100);
  const outcome = freeWindows(problem, plan, {
    minutes: Math.ceil(hours * 60),
    unattended: values.unattended ?? false,
    operatorSkill: values.skill ?? null,
    supplies: (values.supply ?? []).map((text) => {
      const at = text.lastIndexOf("=");
      const amount = wholeOption("supply", text.slice(at + 1), 1, 1_000_000);
      if (at < 1 || amount === undefined) throw new CommandFailure(`--supply ${text}: expected name=amount`);
      return { supply: text.slice(0, at), amount };
    }),
    machines: values.machine,
    kind: values.rigs ? "rig" : undefined,
    earliest: values.after === undefined ? undefined : momentOf("after", values.after, "begin"),
    before: values.before === undefined ? undefined : momentOf("before", values.before, "end"),
    restMost: wholeOption("rest", values.rest, 0, 1440) ?? 0,
    windowsMost,
  });
  if (!outcome.ok) throw new CommandFailure(`${outcome.error.at}: ${outcome.error.message}`);
  const { windows, without, better } = outcome.value;
  for (const { machine, start, end, nightMinutes, rests } of windows) {
    const breaks = rests.map(([from, until]) => `${localText(clock, from)} to ${localText(clock, until)}`).join(", ");
    console.log(
      `${machine}: ${localText(clock, start)} to ${localText(clock, end)}${nightMinutes > 0 ? `, ${nightMinutes} min of it alone` : ""}${breaks === "" ? "" : `, with the break ${breaks}`}`,
    );
  }
  if (without.length > 0) console.log(`no such window: ${without.join(", ")}`);
  for (const { machine, start, moves, movesTo } of better)
    console.log(
      `earlier on ${machine}, ${localText(clock, start)}, if ${moves} moves${movesTo === null ? " (no place for it)" : ` to ${localText(clock, movesTo.start)}${movesTo.makesLate ? ", which makes it late" : ""}`}`,
    );
  console.log(JSON.stringify(outcome.value));
  return windows.length > 0 ? 0 : 1;
}
