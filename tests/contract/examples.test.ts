/** The example files, and the JSON Schemas that describe such files to editors and other programs. */
import { readdirSync, readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import { jsonSchema } from "../../src/contract/json-schema.ts";
import { readPlanText, writePlanFile } from "../../src/contract/plan-file.ts";
import { problemFileSchema, readProblemText } from "../../src/contract/problem-file.ts";
import { check } from "../../src/core/check/checker.ts";
import { present } from "../../src/core/ground/invariant.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { smallShop } from "./small-shop.ts";

const folder = new URL("../../seed/examples/", import.meta.url);
const texts = readdirSync(folder)
  .filter((name) => name.endsWith(".json"))
  .sort()
  .map((name) => ({ name, text: readFileSync(new URL(name, folder), "utf8") }));
const validator = (of: "problem" | "plan") => new Ajv2020({ strict: true, allowUnionTypes: true }).compile(jsonSchema(of));

test("three examples, each larger than the one before", () => {
  const sizes = texts.map(({ text }) => {
    const result = readProblemText(text);
    return result.ok ? result.value.operations.length : result.error;
  });
  expect(sizes).toEqual([3, 7, 15]);
});

test("the largest shows every part of the format", () => {
  const file = problemFileSchema.parse(JSON.parse(present(texts.at(-1), "example").text));
  const empty = Object.entries(file).filter(([, value]) => value === null || (Array.isArray(value) && value.length === 0));
  expect(empty).toEqual([]);
});

test("what runs in the largest example fits the clock: 19 of 22 pieces of 30 minutes are left at 08:00", () => {
  const result = readProblemText(present(texts.at(-1), "example").text);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  const mill = present(
    result.value.operations.find(({ id }) => id === "D-20-mill"),
    "operation",
  );
  expect([mill.pieces, mill.progress.running]).toMatchObject([22, [{ start: 370, remaining: 19 * 30, pieces: 22 }]]);
  expect(result.value.horizon).toBe(21 * 1440 - 60);
});

describe("the engine plans them without a conflict, and the plan survives its file", () => {
  for (const { name, text } of texts)
    test(name, () => {
      const result = readProblemText(text);
      if (!result.ok) throw new Error(JSON.stringify(result.error));
      const { plan } = makePlan(result.value, { seed: 1, iterations: 50 });
      const back = readPlanText(JSON.stringify(writePlanFile(result.value, plan)), result.value);
      expect(back).toEqual({ ok: true, value: plan });
      expect(check(result.value, plan).conflicts).toEqual([]);
    });
});

describe("JSON Schema", () => {
  const problem = validator("problem");

  for (const { name, text } of texts)
    test(`accepts ${name}`, () => {
      expect([problem(JSON.parse(text)), problem.errors]).toEqual([true, null]);
    });

  test("accepts a file with every part, also with all defaults written out", () => {
    expect(problem(smallShop())).toBe(true);
    expect([problem(JSON.parse(JSON.stringify(problemFileSchema.parse(smallShop())))), problem.errors]).toEqual([true, null]);
  });

  test("refuses an unknown field, a missing one, a fraction and a wrong kind", () => {
    const shop = smallShop();
    const broken = [
      { ...shop, machine: [] },
      { ...shop, horizon: undefined },
      { ...shop, crews: [{ id: "c", calendar: "day", people: 1.5 }] },
      { ...shop, links: [{ kind: "after", id: "l", from: "A1", to: "A2" }] },
    ];
    expect(broken.map((file) => problem(JSON.parse(JSON.stringify(file))))).toEqual([false, false, false, false]);
  });

  test("of a plan accepts what is written, and refuses a work stretch of three numbers", () => {
    const plan = validator("plan");
    const result = readProblemText(present(texts.at(-1), "example").text);
    if (!result.ok) throw new Error(JSON.stringify(result.error));
    const file = writePlanFile(result.value, present(result.value.published, "published plan"));
    expect([plan(file), plan.errors]).toEqual([true, null]);
    expect(plan(JSON.parse(JSON.stringify(file).replace("[600,660]", "[600,660,700]")))).toBe(false);
  });

  test("explains its fields", () => {
    type Field = { description?: string; const?: unknown; $ref?: string; anyOf?: Field[] };
    const schema = jsonSchema("problem");
    const parts = schema.$defs as Record<string, { description?: string }>;
    const explained = (field: Field): boolean =>
      field.const !== undefined ||
      (field.description ?? parts[field.$ref?.replace("#/$defs/", "") ?? ""]?.description ?? "").length > 0 ||
      (field.anyOf ?? []).some(explained);
    const bare: string[] = [];
    const walk = (node: unknown, path: string): void => {
      if (node === null || typeof node !== "object") return;
      const fields = (node as { properties?: Record<string, Field> }).properties ?? {};
      for (const [key, field] of Object.entries(fields)) if (!explained(field)) bare.push(`${path}.${key}`);
      for (const [key, below] of Object.entries(node)) walk(below, `${path}/${key}`);
    };
    walk(schema, "");
    expect(bare).toEqual([]);
  });
});
