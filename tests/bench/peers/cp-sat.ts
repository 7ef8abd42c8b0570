/**
 * OR-Tools CP-SAT through the Python script beside this file, where a Python with `ortools` is found: `python3`, or the one that
 * the environment variable PEERS_PYTHON names. Without one, `cpSatMissing` says so and the row is left out, visibly.
 */
import { spawn, spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { z } from "zod";
import type { FlexibleJobShop } from "../../../src/core/problem/classical.ts";
import type { PeerLimits } from "./minizinc.ts";

export type CpSatMode = {
  readonly machine: number;
  /** Row and column of the machine's setups; 0 where there are none. */
  readonly family: number;
  readonly prepare: number;
  readonly prepareCrew: number | null;
  readonly run: number;
  readonly runCrew: number | null;
  readonly draws: readonly (readonly [supply: number, amount: number])[];
};
export type CpSatModel = {
  readonly objective: "makespan" | "tardiness";
  readonly horizon: number;
  readonly machines: readonly {
    /** setups[from][to]; null: none. */
    readonly setups: readonly (readonly number[])[] | null;
    readonly family: number;
    readonly closed: readonly (readonly [number, number])[];
  }[];
  readonly crews: readonly { readonly people: number; readonly away: readonly (readonly [number, number, number])[] }[];
  readonly supplies: readonly number[];
  readonly operations: readonly {
    readonly release: number;
    readonly modes: readonly CpSatMode[];
    /** A known solution: mode, begin, begin of the run. */
    readonly hint?: readonly [number, number, number];
  }[];
  readonly links: readonly (readonly [from: number, to: number, lag: number])[];
  readonly orders: readonly { readonly due: number; readonly weight: number; readonly operations: readonly number[] }[];
};

const answerSchema = z.object({
  status: z.string(),
  seconds: z.number(),
  cpu: z.number(),
  objective: z.number().nullable(),
  bound: z.number().nullable(),
  /** Mode, begin, begin of the run, end. */
  placed: z.array(z.tuple([z.number(), z.number(), z.number(), z.number()])).nullable(),
});
export type CpSatAnswer = z.infer<typeof answerSchema>;

const python = (): string => process.env.PEERS_PYTHON ?? "python3";

/** null: it can run; else why not. */
export function cpSatMissing(): string | null {
  const tried = spawnSync(python(), ["-c", "import ortools.sat.python.cp_model"], { encoding: "utf8" });
  return tried.status === 0 ? null : "skipped: ortools is not installed";
}

export function runCpSat(model: CpSatModel, limits: PeerLimits): Promise<CpSatAnswer> {
  const script = fileURLToPath(new URL("./cp-sat.py", import.meta.url));
  return new Promise((resolve, reject) => {
    const child = spawn(python(), [script], { stdio: ["pipe", "pipe", "pipe"] });
    let out = "";
    let errors = "";
    child.stdout.on("data", (chunk) => {
      out += String(chunk);
    });
    child.stderr.on("data", (chunk) => {
      errors += String(chunk);
    });
    child.on("error", reject);
    child.on("close", (code) => {
      if (code !== 0) reject(new Error(`cp-sat.py ended with code ${code}: ${errors.slice(-2000)}`));
      else resolve(answerSchema.parse(JSON.parse(out)));
    });
    child.stdin.end(JSON.stringify({ ...model, ...limits }));
  });
}

/** A classical shop, its makespan at most `upper`. */
export function cpSatOfShop(shop: FlexibleJobShop, upper: number): CpSatModel {
  const links: [number, number, number][] = [];
  const operations = shop.jobs.flat();
  let at = 0;
  for (const job of shop.jobs) {
    for (let k = 1; k < job.length; k++) links.push([at + k - 1, at + k, 0]);
    at += job.length;
  }
  return {
    objective: "makespan",
    horizon: upper,
    machines: Array.from({ length: shop.machines }, () => ({ setups: null, family: 0, closed: [] })),
    crews: [],
    supplies: [],
    operations: operations.map((choices) => ({
      release: 0,
      modes: choices.map(({ machine, duration }) => ({
        machine,
        family: 0,
        prepare: 0,
        prepareCrew: null,
        run: duration,
        runCrew: null,
        draws: [],
      })),
    })),
    links,
    orders: [],
  };
}
