/** `slotwright risk`: how sure the dates of a plan are, by simulation. The last line on stdout is one JSON object. */
import { parseArgs } from "node:util";
import { riskProfileOf, riskProfileSchema } from "../contract/risk-profile.ts";
import { localText, wallClock } from "../core/calendar/wall-clock.ts";
import { createReplay, RUNS_MAX, simulateRuns } from "../core/risk/replay.ts";
import { DEFAULT_RISK_PROFILE, type RiskProfile } from "../core/risk/risk-profile.ts";
import { RUNS_DEFAULT, riskReport } from "../core/risk/risk-report.ts";
import { CommandFailure } from "./failure.ts";
import { SEED_MAX, wholeOption } from "./options.ts";
import { formatNamed, readJson, readPlan, readProblem } from "./read-input.ts";

export const RISK_HELP = `slotwright risk <problem> <plan> [options]
  Replays the plan in its own order of work while durations, machines and material vary. Same seed, same answer.
  --runs N        (default ${RUNS_DEFAULT})
  --seed K        whole number (default 1)
  --profile FILE  what may vary: {durations: {prepare, run, clear, outside: {best, likely, worst}}, operations, stops,
                  material: {chance, delayMinutes}, orders, starts: notBeforePlanned | asSoonAsPossible,
                  stayMinutes: worked past closing to end what takes longer}, all optional;
                  durations are factors of the planned minutes. Without it: common practice, not measured in your shop
  --format F      format of the problem: json (default for .json), jobshop, flexible, setup, rcpsp`;

export function riskCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      runs: { type: "string" },
      seed: { type: "string" },
      profile: { type: "string" },
      format: { type: "string" },
    },
  });
  const [problemFile, planFile, ...rest] = positionals;
  if (problemFile === undefined || planFile === undefined || rest.length > 0) throw new CommandFailure(RISK_HELP);
  const runs = wholeOption("runs", values.runs, 1, RUNS_MAX) ?? RUNS_DEFAULT;
  const seed = wholeOption("seed", values.seed, 0, SEED_MAX) ?? 1;
  const problem = readProblem(problemFile, formatNamed(values.format, problemFile));
  const plan = readPlan(planFile, problem);
  const replay = createReplay(problem, plan, readProfile(values.profile));
  const report = riskReport(replay, [simulateRuns(replay, { seed, firstRun: 0, runs })]);
  const clock = wallClock(problem.zone, problem.origin);
  for (const { order, onTime, onTimeError, dates, overRest } of report.orders) {
    const chance = onTime === null ? "nothing promised" : `on time ${percent(onTime)} +- ${percent(onTimeError ?? 0)}`;
    console.log(
      `${order.padEnd(20)} ${chance.padEnd(28)} 50 % ${say(dates.p50)}  80 % ${say(dates.p80)}  95 % ${say(dates.p95)}`,
    );
    if (overRest !== null)
      console.log(
        `${"".padEnd(20)} ${percent(overRest.share)} run over its people's rest from ${localText(clock, overRest.leave)} to ${localText(clock, overRest.back)}; ` +
          `for ${percent(overRest.hourEnough)} an hour more before it is due would be enough`,
      );
  }
  console.log(JSON.stringify({ seed, ...report }));
  return 0;
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
const say = (minute: number | null): string => (minute === null ? "beyond the horizon" : `${minute}`);

function readProfile(file: string | undefined): RiskProfile {
  if (file === undefined) return DEFAULT_RISK_PROFILE;
  const parsed = riskProfileSchema.safeParse(readJson(file));
  if (!parsed.success) {
    const first = parsed.error.issues[0];
    throw new CommandFailure(`${file} cannot be used:\n  ${first?.path.join(".")}: ${first?.message}`);
  }
  return riskProfileOf(parsed.data);
}
