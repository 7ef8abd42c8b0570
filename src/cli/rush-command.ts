/** `slotwright rush`: answers that fit an order into a plan, side by side. The last line on stdout is a JSON array of answers. */
import { parseArgs } from "node:util";
import { writePlanFile } from "../contract/plan-file.ts";
import { localText, type WallClock, wallClock } from "../core/calendar/wall-clock.ts";
import { whyNotSooner } from "../core/explain/why-not-sooner.ts";
import { type RushAnswer, type RushOutcome, type RushTried, rush } from "../core/plan/rush.ts";
import { ANSWERS_LEAST, type MeasureName } from "../core/plan/rush-choice.ts";
import { CommandFailure } from "./failure.ts";
import { ITERATIONS_MAX, numberOption, SECONDS_MAX, SEED_MAX, wholeOption } from "./options.ts";
import { readOrder } from "./order-file.ts";
import { readPlan, readProblem } from "./read-input.ts";

export const RUSH_HELP = `slotwright rush <problem> <plan> --order FILE [options]
  Fits an order in: answers that differ really, each checked. Exit code 1: no way was found.
  --order FILE    one order as in the problem file, with optional links and kitSpans; {"id": "..."} for one of the problem's own
  --iterations N  of the full re-plan (default 200; 0: none)
  --seconds S     stop searching after S seconds
  --answers N     at most so many (default 5)
  --seed K        whole number (default 1)
  The last line is an array of answers: labels, finish, late, ordersLate, lateness, movement, ordersMoved,
  told, moved, machines, crews, cuts, nightMinutesChange, plan; none is as good as another in all of finish, lateness, movement, ordersMoved,
  told, hours alone and cuts. Fewer than three: a line says what became of all that was tried. Before the array stands the minute
  before which nothing could complete it, with the chain of reasons: alone in the shop beside what runs and what is frozen;
  and, of fewer than three answers, in what another way could still be better, if in anything.`;

export function rushCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      order: { type: "string" },
      iterations: { type: "string" },
      seconds: { type: "string" },
      answers: { type: "string" },
      seed: { type: "string" },
    },
  });
  const [problemFile, planFile, ...rest] = positionals;
  if (problemFile === undefined || planFile === undefined || values.order === undefined || rest.length > 0)
    throw new CommandFailure(RUSH_HELP);
  const iterations = wholeOption("iterations", values.iterations, 0, ITERATIONS_MAX);
  const seconds = numberOption("seconds", values.seconds, 0.01, SECONDS_MAX);
  const answersMost = wholeOption("answers", values.answers, 1, 100);
  const seed = wholeOption("seed", values.seed, 0, SEED_MAX) ?? 1;
  const problem = readProblem(problemFile, "json");
  const plan = readPlan(planFile, problem);
  const end = seconds === undefined ? null : performance.now() + seconds * 1000;
  const outcome = rush(problem, plan, readOrder(values.order, problemFile, problem), {
    seed,
    ...(iterations === undefined ? {} : { iterations }),
    ...(answersMost === undefined ? {} : { answersMost }),
    ...(end === null ? {} : { shouldStop: () => performance.now() > end }),
  });
  if (!outcome.ok) throw new CommandFailure(`${values.order}: ${outcome.error.at}: ${outcome.error.message}`);
  const clock = wallClock(problem.zone, problem.origin);
  for (const answer of outcome.value.answers) console.log(lineOf(answer, localText(clock, answer.finish)));
  if (outcome.value.answers.length < ANSWERS_LEAST) console.log(fewer(outcome.value.answers.length, outcome.value.tried));
  for (const line of [...soonestLines(outcome.value, clock), ...settledLines(outcome.value)]) console.log(line);
  for (const conflict of outcome.value.blocked.slice(0, 20)) console.log(`in the way: ${conflict.sentence}`);
  console.log(
    JSON.stringify(
      outcome.value.answers.map(({ plan: found, cost, conflicts, difference, cuts: _count, ...answer }) => ({
        ...answer,
        finishAt: localText(clock, answer.finish),
        ...difference,
        cost: cost.total,
        costParts: cost.parts,
        conflicts: conflicts.length,
        plan: writePlanFile(outcome.value.problem, found),
      })),
    ),
  );
  return outcome.value.answers.length > 0 ? 0 : 1;
}

const fewer = (found: number, { plans, noBetter, noSooner, broken }: RushTried): string =>
  `${found} of ${plans} plans tried: ${noBetter} no better than those in anything, ${noSooner} no sooner than the plan in hand, ${broken} would break a rule`;

/** What no plan could beat, and whether it was reached. */
function soonestLines({ soonest, before, answers }: RushOutcome, clock: WallClock): readonly string[] {
  const { finish } = soonest;
  const best = answers[0]?.finish ?? before.finish;
  const said =
    finish === null
      ? "even with all else out of its way it has no place before the end of the horizon"
      : `cannot end before ${localText(clock, finish)}, even with all else out of its way${
          best !== finish ? "" : answers.length > 0 ? ": the first answer does" : ": the plan in hand does"
        }`;
  return [said, ...whyNotSooner(soonest).map(({ sentence }) => `  because ${sentence}`)];
}

const MEASURE_WORDS: Readonly<Record<MeasureName, string>> = {
  ...{ finish: "finish", lateness: "lateness of others", movement: "how far others move", ordersMoved: "how many orders move" },
  ...{ told: "who is told anew", nightMinutesChange: "work while nobody is on site", cuts: "batches cut" },
};

/** Of few answers: what is proved of ways that were not found. */
function settledLines({ settled, answers }: RushOutcome): readonly string[] {
  if (settled === null || answers.length >= ANSWERS_LEAST) return [];
  const but = settled.open.map((name) => MEASURE_WORDS[name]).join(", ");
  const which = `answer ${settled.answer + 1}`;
  return [
    but === ""
      ? `proved: there is no other way; ${which} is the least possible in everything`
      : `proved: nothing beats ${which} but perhaps in ${but}; whether anything does was tried, not proved`,
  ];
}

function lineOf({ labels, late, difference, ordersLate, lateness }: RushAnswer, finish: string): string {
  const parts = [
    `ends ${finish}${late > 0 ? `, ${late} min late` : ""}`,
    `${difference.moved.length} operations move`,
    `${ordersLate.length} orders become late or later${lateness > 0 ? ` (${lateness} weighted min)` : ""}`,
    `to tell: ${[...difference.machines, ...difference.crews].join(", ")}`,
    ...difference.cuts.map((cut) => `cuts ${cut.operation} into ${cut.lots.length} lots, ${cut.extraMinutes} min more`),
  ];
  return `${labels.length === 0 ? "between" : labels.join(", ")}: ${parts.join("; ")}`;
}
