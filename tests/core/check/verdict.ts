/** What tests say about a plan: nothing is wrong with it, or exactly this is. Sentences are looked at where they matter. */
import { expect } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import type { Conflict } from "../../../src/core/check/conflict.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";

export type Wrong = Omit<Conflict, "sentence">;

/** The conflicts without their sentences, after making sure that each sentence reads as one. */
export function wrongWith(problem: Problem, plan: Plan): Wrong[] {
  return check(problem, plan).conflicts.map(({ sentence, ...rest }) => {
    expect(sentence).toMatch(/^[A-Z].*\.$/);
    expect(sentence).not.toMatch(/undefined|null|NaN|Invalid/);
    return rest;
  });
}

export const expectNothingWrong = (problem: Problem, plan: Plan): void => expect(wrongWith(problem, plan)).toEqual([]);

export const expectWrong = (problem: Problem, plan: Plan, ...wrong: readonly Wrong[]): void =>
  expect(wrongWith(problem, plan)).toEqual(wrong);

export const wrong = (
  kind: Wrong["kind"],
  operations: readonly string[],
  resource: string | null,
  interval: Wrong["interval"],
  amount: number,
): Wrong => ({ kind, operations, resource, interval, amount });
