/** `slotwright hold-out`: the smallest sets of pins, deadlines, windows and the like that cannot all hold. Last line: one JSON object. */
import { parseArgs } from "node:util";
import { type FindPlan, whatCannotHold } from "../core/explain/what-cannot-hold.ts";
import { makePlan } from "../core/plan/make-plan.ts";
import { CommandFailure } from "./failure.ts";
import { ITERATIONS_MAX, SEED_MAX, wholeOption } from "./options.ts";
import { formatNamed, readProblem } from "./read-input.ts";

const ITERATIONS_DEFAULT = 200;

export const HOLD_OUT_HELP = `slotwright hold-out <problem> [options]
  Which pins, frozen work, hard deadlines, windows and longest waits contradict each other: smallest sets, each of which
  has a plan as soon as any one of them is lifted. Exit code 1 when something cannot hold. "proved": no plan exists;
  "noneFound": none was found within the iterations.
  --iterations N  search steps for each attempt (default ${ITERATIONS_DEFAULT})
  --seed K        whole number (default 1)
  --format F      json (default for .json), jobshop, flexible, setup, rcpsp`;

export function holdOutCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { iterations: { type: "string" }, seed: { type: "string" }, format: { type: "string" } },
  });
  const [file, ...rest] = positionals;
  if (file === undefined || rest.length > 0) throw new CommandFailure(HOLD_OUT_HELP);
  const iterations = wholeOption("iterations", values.iterations, 1, ITERATIONS_MAX) ?? ITERATIONS_DEFAULT;
  const seed = wholeOption("seed", values.seed, 0, SEED_MAX) ?? 1;
  const problem = readProblem(file, formatNamed(values.format, file));
  const findPlan: FindPlan = (relaxed) => {
    const { plan, conflicts } = makePlan(relaxed, { seed, iterations });
    return conflicts.length === 0 ? plan : null;
  };
  const answer = whatCannotHold(problem, findPlan);
  if (answer.kind === "contradictions") {
    for (const { demands, proof } of answer.sets) {
      console.log(
        proof === "proved" ? "These cannot all hold:" : `No plan was found that keeps all of these (${iterations} iterations):`,
      );
      for (const { sentence, relaxation } of demands) console.log(`  ${sentence} (${relaxation})`);
    }
    console.log(JSON.stringify({ kind: answer.kind, sets: answer.sets, solvableWithout: answer.planWithout !== null }));
    return 1;
  }
  console.log(answer.kind === "holds" ? "Everything can hold." : "Even without pins and deadlines no plan was found.");
  console.log(JSON.stringify(answer.kind === "holds" ? { kind: answer.kind } : answer));
  return answer.kind === "holds" ? 0 : 1;
}
