/** Reads problems and plans from files of any known format. A bad file is a CommandFailure that names line or path. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { problemFromFlexible, problemFromJobShop, problemFromRcpsp, problemFromSetup } from "../contract/benchmark-problem.ts";
import { readPlanText } from "../contract/plan-file.ts";
import { readProblemText } from "../contract/problem-file.ts";
import type { Fault, Result } from "../core/ground/result.ts";
import { readFlexibleJobShop } from "../core/problem/formats/flexible-job-shop.ts";
import { readJobShop } from "../core/problem/formats/job-shop.ts";
import { readJobShopWithSetups } from "../core/problem/formats/job-shop-with-setups.ts";
import { readPsplib } from "../core/problem/formats/psplib.ts";
import type { Plan } from "../core/problem/plan.ts";
import type { Problem } from "../core/problem/problem.ts";
import { CommandFailure, failureOfFaults } from "./failure.ts";

export const FORMATS = ["json", "jobshop", "flexible", "setup", "rcpsp"] as const;
export type Format = (typeof FORMATS)[number];

export function formatNamed(text: string | undefined, file: string): Format {
  if (text !== undefined) {
    const found = FORMATS.find((format) => format === text);
    if (!found) throw new CommandFailure(`--format ${text} is not known; it is one of ${FORMATS.join(", ")}`);
    return found;
  }
  if (file.endsWith(".json")) return "json";
  if (file.endsWith(".sm")) return "rcpsp";
  throw new CommandFailure(
    `${file}: say what it is with --format ${FORMATS.join("|")} (only .json and .sm files are recognised by their name)`,
  );
}

export function readText(file: string): string {
  try {
    return readFileSync(file, "utf8");
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    throw new CommandFailure(code === "ENOENT" ? `there is no file ${file}` : `${file} cannot be read (${code})`);
  }
}

/** JSON with the line of a slip, which JSON.parse only gives as a position. */
export function readJson(file: string): unknown {
  const text = readText(file);
  try {
    return JSON.parse(text);
  } catch (error) {
    const message = (error as Error).message;
    const position = /position (\d+)/.exec(message)?.[1];
    const line = position === undefined ? text.split("\n").length : text.slice(0, Number(position)).split("\n").length;
    throw new CommandFailure(`${file} cannot be used:\n  line ${line}: expected JSON (${message})`);
  }
}

export function readProblem(file: string, format: Format): Problem {
  if (format === "json") return trusted(file, readProblemText(readText(file)));
  const text = readText(file);
  const name = path.basename(file).replace(/\.[^.]*$/, "");
  switch (format) {
    case "jobshop":
      return problemFromJobShop(oneFault(file, readJobShop(text)), name);
    case "flexible":
      return problemFromFlexible(oneFault(file, readFlexibleJobShop(text)), name);
    case "setup":
      return problemFromSetup(oneFault(file, readJobShopWithSetups(text)), name);
    case "rcpsp":
      return problemFromRcpsp(oneFault(file, readPsplib(text)), name);
  }
}

export const readPlan = (file: string, problem: Problem): Plan => trusted(file, readPlanText(readText(file), problem));

function trusted<T>(file: string, result: Result<T, readonly Fault[]>): T {
  if (!result.ok) throw failureOfFaults(file, result.error);
  return result.value;
}

function oneFault<T>(file: string, result: Result<T, Fault>): T {
  if (!result.ok) throw failureOfFaults(file, [result.error]);
  return result.value;
}
