/**
 * `slotwright bench`: plans published instances and compares with the best known makespans. Every plan is checked again
 * here; one with a conflict ends the run. The table is meant to be read and the last line (--json) to be compared.
 */
import { createHash } from "node:crypto";
import { readdirSync, statSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import { z } from "zod";
import { check } from "../core/check/checker.ts";
import { planOnThreads } from "../threads/plan-on-threads.ts";
import { CommandFailure } from "./failure.ts";
import { DEFAULT_SECONDS, ITERATIONS_MAX, numberOption, SECONDS_MAX, SEED_MAX, THREADS_MAX, wholeOption } from "./options.ts";
import { type Format, readJson, readProblem } from "./read-input.ts";

export const BENCH_HELP = `slotwright bench <files or folders> --bounds bounds.json [options]
  Plans each instance named in the bounds file and prints best known, ours, gap and seconds.
  --bounds FILE   array of {family, name, lower, upper, file}
  --seconds S     per instance and seed (default ${DEFAULT_SECONDS})
  --clock C       wall (default) or cpu: seconds are CPU seconds of each thread, for a machine with other work
  --iterations N  instead of seconds: iterations of each thread
  --only PATTERN  only instances whose whole name fits the regular expression
  --threads T     (default 1)
  --seeds N       seeds 1 to N, the mean is shown (default 1)
  --json          the last line is one JSON object with meanGap and instances`;

const boundsSchema = z.array(
  z.object({ family: z.string(), name: z.string(), lower: z.number(), upper: z.number(), file: z.string() }),
);

const FORMAT_OF_FAMILY: Readonly<Record<string, Format>> = {
  jobshop: "jobshop",
  "flexible-jobshop": "flexible",
  "jobshop-setup": "setup",
  rcpsp: "rcpsp",
};

type Row = {
  name: string;
  lower: number;
  upper: number;
  ours: number;
  best: number;
  gap: number;
  bound: number | null;
  proven: number;
  seconds: number;
  cpu: number;
  iterations: number;
  hash: string;
};

export async function benchCommand(args: string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      bounds: { type: "string" },
      seconds: { type: "string" },
      iterations: { type: "string" },
      clock: { type: "string" },
      only: { type: "string" },
      threads: { type: "string" },
      seeds: { type: "string" },
      json: { type: "boolean" },
    },
  });
  if (values.bounds === undefined || positionals.length === 0) throw new CommandFailure(BENCH_HELP);
  const iterations = wholeOption("iterations", values.iterations, 1, ITERATIONS_MAX) ?? null;
  const seconds = numberOption("seconds", values.seconds, 0.01, SECONDS_MAX) ?? (iterations === null ? DEFAULT_SECONDS : null);
  const threads = wholeOption("threads", values.threads, 1, THREADS_MAX) ?? 1;
  const seeds = wholeOption("seeds", values.seeds, 1, SEED_MAX) ?? 1;
  const clock = values.clock ?? "wall";
  if (clock !== "wall" && clock !== "cpu") throw new CommandFailure("--clock is wall or cpu");
  const only = patternOption(values.only);
  const parsed = boundsSchema.safeParse(readJson(values.bounds));
  if (!parsed.success) throw new CommandFailure(`${values.bounds}: expected an array of {family, name, lower, upper, file}`);
  const base = path.dirname(path.resolve(values.bounds));
  const known = new Map(parsed.data.map((entry) => [path.resolve(base, entry.file), entry]));
  const files = positionals.flatMap((at) => instanceFiles(at, known)).filter((file) => only.test(known.get(file)?.name ?? ""));
  if (files.length === 0)
    throw new CommandFailure(
      `no instance of ${values.bounds}${values.only === undefined ? "" : ` that fits --only ${values.only}`} lies in ${positionals.join(", ")}`,
    );

  console.log(line(["instance", "best known", "ours", "gap %", "bound", "proven", "seconds", "cpu", "hash"]));
  const rows: Row[] = [];
  for (const file of files) {
    const entry = known.get(file);
    if (!entry) throw new CommandFailure(`${file} is not in ${values.bounds}`);
    const format = FORMAT_OF_FAMILY[entry.family];
    if (!format)
      throw new CommandFailure(
        `${values.bounds}: family ${entry.family} of ${entry.name} is not one of ${Object.keys(FORMAT_OF_FAMILY).join(", ")}`,
      );
    const problem = readProblem(file, format);
    const runs: {
      makespan: number;
      bound: number | null;
      proven: boolean;
      seconds: number;
      cpu: number;
      iterations: number;
      starts: string;
    }[] = [];
    for (let seed = 1; seed <= seeds; seed++) {
      const cpuBefore = cpuSeconds();
      const result = await within(seconds, clock, threads, (limits) =>
        planOnThreads(problem, { seed, threads, iterations, ...limits }),
      );
      const judged = check(problem, result.outcome.plan);
      if (judged.conflicts.length > 0)
        throw new CommandFailure(`${entry.name}, seed ${seed}: the plan breaks a rule: ${judged.conflicts[0]?.sentence}`, 1);
      const { bound } = result.outcome;
      runs.push({
        makespan: judged.cost.parts.makespan,
        bound: bound.kind === "optimal" ? judged.cost.parts.makespan : bound.kind === "within" ? bound.lowerBound : null,
        proven: bound.kind === "optimal",
        seconds: result.seconds,
        cpu: cpuSeconds() - cpuBefore,
        iterations: result.iterations,
        starts: JSON.stringify(result.outcome.plan.operations.map((planned) => planned.lots.map((lot) => lot.start))),
      });
    }
    const mean = (pick: (run: (typeof runs)[number]) => number): number =>
      runs.reduce((sum, run) => sum + pick(run), 0) / runs.length;
    const ours = mean((run) => run.makespan);
    const bounds = runs.flatMap((run) => (run.bound === null ? [] : [run.bound]));
    const row: Row = {
      name: entry.name,
      lower: entry.lower,
      upper: entry.upper,
      ours,
      best: Math.min(...runs.map((run) => run.makespan)),
      gap: (100 * (ours - entry.upper)) / entry.upper,
      bound: bounds.length === 0 ? null : Math.max(...bounds),
      proven: runs.filter((run) => run.proven).length,
      seconds: mean((run) => run.seconds),
      cpu: mean((run) => run.cpu),
      iterations: Math.round(mean((run) => run.iterations)),
      hash: createHash("sha256")
        .update(runs.map((run) => run.starts).join("\n"))
        .digest("hex")
        .slice(0, 8),
    };
    if (row.best < entry.lower || (row.bound ?? 0) > entry.upper)
      throw new CommandFailure(
        `${entry.name}: ours ${row.best}, bound ${row.bound} contradict the published ${entry.lower} to ${entry.upper}`,
        1,
      );
    rows.push(row);
    console.log(
      line([
        row.name,
        entry.lower === entry.upper ? `${entry.upper}` : `${entry.lower}-${entry.upper}`,
        round(row.ours),
        row.gap.toFixed(2),
        `${row.bound ?? "-"}`,
        `${row.proven}/${seeds}`,
        row.seconds.toFixed(1),
        row.cpu.toFixed(1),
        row.hash,
      ]),
    );
  }
  const meanGap = rows.reduce((sum, row) => sum + row.gap, 0) / rows.length;
  console.log(
    line([
      "mean",
      "",
      "",
      meanGap.toFixed(3),
      "",
      `${rows.filter((row) => row.proven > 0).length}`,
      (rows.reduce((sum, row) => sum + row.seconds, 0) / rows.length).toFixed(1),
      (rows.reduce((sum, row) => sum + row.cpu, 0) / rows.length).toFixed(1),
      "",
    ]),
  );
  if (values.json) console.log(JSON.stringify({ meanGap, seconds, clock, iterations, threads, seeds, instances: rows }));
  return 0;
}

const cpuSeconds = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** Runs with the limit that the clock says; CPU seconds are those of the whole process, shared by its threads. */
async function within<T>(
  seconds: number | null,
  clock: "wall" | "cpu",
  threads: number,
  run: (limits: { seconds: number | null; stop?: AbortSignal }) => Promise<T>,
): Promise<T> {
  if (clock === "wall" || seconds === null) return run({ seconds });
  const stop = new AbortController();
  const until = cpuSeconds() + seconds * threads;
  const timer = setInterval(() => cpuSeconds() >= until && stop.abort(), 20);
  try {
    return await run({ seconds: null, stop: stop.signal });
  } finally {
    clearInterval(timer);
  }
}

function patternOption(text: string | undefined): RegExp {
  try {
    return new RegExp(`^(?:${text ?? ".*"})$`);
  } catch {
    throw new CommandFailure(`--only: ${text} is not a regular expression`);
  }
}

const WIDTHS = [14, 12, 10, 8, 8, 8, 8, 8, 10];
const line = (cells: readonly string[]): string =>
  cells.map((cell, i) => (i === 0 ? cell.padEnd(WIDTHS[i] ?? 0) : cell.padStart(WIDTHS[i] ?? 0))).join(" ");
const round = (value: number): string => (Number.isInteger(value) ? `${value}` : value.toFixed(1));

/** A file as it is; of a folder, the instances that the bounds file knows, in its order. */
function instanceFiles(at: string, known: ReadonlyMap<string, unknown>): string[] {
  const whole = path.resolve(at);
  let isFolder: boolean;
  try {
    isFolder = statSync(whole).isDirectory();
  } catch {
    throw new CommandFailure(`there is no file or folder ${at}`);
  }
  if (!isFolder) return [whole];
  const inside = new Set(readdirSync(whole, { recursive: true }).map((name) => path.join(whole, String(name))));
  return [...known.keys()].filter((file) => inside.has(file));
}
