/**
 * Turns what a schema refuses into faults for people: where, what was found, and what would make it right.
 * Also the list in which the semantic checks gather theirs, so that a file is judged whole and not fault by fault.
 */
import type { z } from "zod";
import type { Fault } from "../../core/ground/result.ts";

/** `orders[0].operations[2].modes[0]`; the empty path is the file itself. */
export function pathText(path: readonly PropertyKey[]): string {
  let text = "";
  for (const step of path) {
    if (typeof step === "number") text += `[${step}]`;
    else text += text === "" ? String(step) : `.${String(step)}`;
  }
  return text === "" ? "(file)" : text;
}

/** A found value in a sentence, shortened. */
export function found(value: unknown): string {
  if (value === undefined) return "nothing";
  const text = JSON.stringify(value) ?? String(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

const KINDS: Readonly<Record<string, string>> = {
  string: "a text",
  number: "a number",
  int: "a whole number",
  boolean: "true or false",
  array: "a list [...]",
  tuple: "a list of two",
  object: "an object {...}",
  null: "null",
};

const kindOf = (kind: string): string => KINDS[kind] ?? kind;

/** How many things a limit speaks of: entries of a list, characters of a text, or none. */
const countOf = (limit: number | bigint, origin: string): string =>
  origin === "array" ? ` ${limit === 1 ? "entry" : "entries"}` : origin === "string" ? " characters" : "";

/** What nobody may read over a shoulder or in a log is never repeated. */
const isSecret = (path: readonly PropertyKey[]): boolean => /password|token/i.test(String(path.at(-1) ?? ""));

function sentence(issue: z.core.$ZodIssue, path: readonly PropertyKey[]): string {
  const there = Array.isArray(issue.input)
    ? issue.input.length === 0
      ? "none"
      : String(issue.input.length)
    : found(issue.input);
  const but = isSecret(path)
    ? ""
    : `, found ${issue.code === "too_small" || issue.code === "too_big" ? there : found(issue.input)}`;
  switch (issue.code) {
    case "invalid_type":
      if (issue.input === undefined) return `is missing; expected ${kindOf(issue.expected)}`;
      return `expected ${kindOf(issue.expected)}${but}`;
    case "too_small": {
      return `expected at least ${issue.minimum}${countOf(issue.minimum, issue.origin)}${but}`;
    }
    case "too_big": {
      return `expected at most ${issue.maximum}${countOf(issue.maximum, issue.origin)}${but}`;
    }
    case "invalid_value":
      return `expected ${issue.values.map((value) => found(value)).join(" or ")}${but}`;
    case "unrecognized_keys":
      return issue.message;
    case "invalid_union":
      if (issue.discriminator !== undefined) return `expected one of the known kinds in "${issue.discriminator}"${but}`;
      return `${issue.message}${but}`;
    default:
      return `${issue.message}${but}`;
  }
}

export const faultsOfSchema = (error: z.core.$ZodError, below: readonly PropertyKey[] = []): readonly Fault[] =>
  error.issues.map((issue) => {
    const path = [...below, ...issue.path];
    return { at: pathText(path), message: sentence(issue, path) };
  });

/** Gathers faults; at(path) gives a pen for one place. */
export type FaultList = {
  readonly faults: readonly Fault[];
  add(path: readonly PropertyKey[], message: string): void;
};

export function faultList(): FaultList {
  const faults: Fault[] = [];
  return { faults, add: (path, message) => void faults.push({ at: pathText(path), message }) };
}
