/**
 * The instances of the comparison by name: ft06, ft10, la01 and mk01 as published in seed/instances, ta01 to ta50 from their
 * published seeds, and all others from a folder of benchmark files with a bounds.json (tests/bench/README.md).
 */
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { z } from "zod";
import { MK01 } from "../../../seed/instances/flexible-and-setups.ts";
import { FT06, FT10, LA01 } from "../../../seed/instances/job-shops.ts";
import { taillard } from "../../../seed/taillard.ts";
import type { Fault, Result } from "../../../src/core/ground/result.ts";
import type { FlexibleJobShop, JobShop } from "../../../src/core/problem/classical.ts";
import { readFlexibleJobShop } from "../../../src/core/problem/formats/flexible-job-shop.ts";
import { readJobShop } from "../../../src/core/problem/formats/job-shop.ts";

/** Both families as one: a job shop is flexible with one choice each. */
export type Instance = {
  readonly name: string;
  readonly shop: FlexibleJobShop;
  readonly flexible: boolean;
  /** Best known makespan; null without a bounds file. */
  readonly known: number | null;
};

const boundsSchema = z.array(z.object({ family: z.string(), name: z.string(), upper: z.number(), file: z.string() }));
const TYPED: Readonly<Record<string, string>> = { ft06: FT06, ft10: FT10, la01: LA01 };
/** Optima of the typed instances; their sources stand beside the numbers in seed/instances. */
const TYPED_KNOWN: Readonly<Record<string, number>> = { ft06: 55, ft10: 930, la01: 666, mk01: 40 };

/** null: neither typed, nor made from seeds, nor in the folder. */
export function instanceNamed(name: string, folder: string): Instance | null {
  const index = path.join(folder, "bounds.json");
  const entry = existsSync(index)
    ? boundsSchema.parse(JSON.parse(readFileSync(index, "utf8"))).find((bound) => bound.name === name)
    : undefined;
  const known = entry?.upper ?? TYPED_KNOWN[name] ?? null;
  const typed = TYPED[name];
  if (typed !== undefined) return { name, shop: asFlexible(value(readJobShop(typed))), flexible: false, known };
  if (name === "mk01") return { name, shop: value(readFlexibleJobShop(MK01)), flexible: true, known };
  if (/^ta\d\d$/.test(name)) return { name, shop: asFlexible(taillard(name)), flexible: false, known };
  if (entry === undefined) return null;
  const text = readFileSync(path.join(folder, entry.file), "utf8");
  if (entry.family === "jobshop") return { name, shop: asFlexible(value(readJobShop(text))), flexible: false, known };
  if (entry.family === "flexible-jobshop") return { name, shop: value(readFlexibleJobShop(text)), flexible: true, known };
  return null;
}

const asFlexible = (shop: JobShop): FlexibleJobShop => ({
  machines: shop.machines,
  jobs: shop.jobs.map((job) => job.map((visit) => [visit])),
});

function value<T>(result: Result<T, Fault>): T {
  if (!result.ok) throw new Error(`${result.error.at}: ${result.error.message}`);
  return result.value;
}
