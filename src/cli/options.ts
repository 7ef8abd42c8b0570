/** Reading of command-line options into numbers, with the range in the refusal. */
import { CommandFailure } from "./failure.ts";

/** A number from `least` to `most`; undefined when the option was not given. */
export function numberOption(name: string, text: string | undefined, least: number, most: number): number | undefined {
  if (text === undefined) return undefined;
  const value = Number(text);
  if (text.trim() === "" || !Number.isFinite(value) || value < least || value > most)
    throw new CommandFailure(`--${name} ${text}: expected a number from ${least} to ${most}`);
  return value;
}

export function wholeOption(name: string, text: string | undefined, least: number, most: number): number | undefined {
  const value = numberOption(name, text, least, most);
  if (value !== undefined && !Number.isInteger(value))
    throw new CommandFailure(`--${name} ${text}: expected a whole number from ${least} to ${most}`);
  return value;
}

export const SECONDS_MAX = 86_400;
export const THREADS_MAX = 64;
export const SEED_MAX = 2_147_483_646;
export const ITERATIONS_MAX = 1_000_000_000_000;
export const DEFAULT_SECONDS = 10;
