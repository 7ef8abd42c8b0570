/** `slotwright estimate`: a duration with its working, from named inputs. The last line on stdout is one JSON object. */
import { parseArgs } from "node:util";
import { z } from "zod";
import { ESTIMATORS } from "../core/estimate/catalogue.ts";
import { minutesOf } from "../core/estimate/estimate.ts";
import { CommandFailure, failureOfFaults } from "./failure.ts";

export const ESTIMATE_HELP = `slotwright estimate <kind> --json '{"input": number, ...}'
  How long a cut, a test or a campaign takes, with the working. Without --json: the inputs of that kind.
  Kinds: ${ESTIMATORS.map((estimator) => estimator.kind).join(", ")}`;

export function estimateCommand(args: string[]): number {
  const { values, positionals } = parseArgs({ args, allowPositionals: true, options: { json: { type: "string" } } });
  const [kind, ...rest] = positionals;
  if (kind === undefined || rest.length > 0) throw new CommandFailure(ESTIMATE_HELP);
  const estimator = ESTIMATORS.find((candidate) => candidate.kind === kind);
  if (!estimator)
    throw new CommandFailure(
      `there is no estimate ${kind}; the kinds are ${ESTIMATORS.map((candidate) => candidate.kind).join(", ")}`,
    );
  if (values.json === undefined) {
    console.log(`${estimator.title}\n${estimator.source}`);
    for (const field of estimator.fields)
      console.log(
        `  ${field.name.padEnd(28)} ${field.label}, ${field.least} to ${field.most} ${field.unit}${field.fallback === null ? "" : ` (default ${field.fallback})`}`,
      );
    return 0;
  }
  const result = estimator.estimate(readInputs(values.json));
  if (!result.ok) throw failureOfFaults(`estimate ${kind}`, result.error);
  const { working, figures, bestSeconds, likelySeconds, worstSeconds } = result.value;
  for (const line of working)
    console.log(`${line.label.padEnd(24)} ${(line.seconds / 60).toFixed(1).padStart(10)} min   ${line.formula}`);
  for (const figure of figures) console.log(`${figure.label.padEnd(24)} ${figure.value.toFixed(2).padStart(10)} ${figure.unit}`);
  console.log(
    JSON.stringify({
      kind,
      bestMinutes: minutesOf(bestSeconds),
      likelyMinutes: minutesOf(likelySeconds),
      worstMinutes: minutesOf(worstSeconds),
      likelySeconds,
      working,
      figures,
      source: estimator.source,
    }),
  );
  return 0;
}

function readInputs(text: string): Record<string, number> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    throw new CommandFailure(`--json: expected an object of numbers (${(error as Error).message})`);
  }
  const parsed = z.record(z.string(), z.number()).safeParse(json);
  if (!parsed.success) throw new CommandFailure(`--json: expected an object of numbers, for example {"cutLengthMm": 160}`);
  return parsed.data;
}
