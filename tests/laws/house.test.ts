/**
 * The house keeps its own rules; and each rule catches an invented offender, so none of them is asleep.
 */
import fs from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { RULES, type SourceFile } from "./house-rules.ts";

const root = path.resolve(import.meta.dirname, "../..");
const SOURCE_FOLDERS = ["src", "web", "seed", "tests"];
const GENERATED = "src/server/generated";

function sourceFiles(place: string): readonly SourceFile[] {
  if (place === GENERATED) return [];
  return fs.readdirSync(path.join(root, place), { withFileTypes: true }).flatMap((entry) => {
    const below = `${place}/${entry.name}`;
    if (entry.isDirectory()) return sourceFiles(below);
    return /\.(ts|tsx|mjs)$/.test(entry.name) ? [{ place: below, text: fs.readFileSync(path.join(root, below), "utf8") }] : [];
  });
}

const house = SOURCE_FOLDERS.flatMap(sourceFiles);
const HEAD = "/** A file that is here to break one rule and keep all others. */\n";

/** One offender per line: the rule's name begins with the word, and this file must be what it complains about. */
const OFFENDERS: readonly (readonly [rule: string, place: string, text: string])[] = [
  ["core <- contract", "src/core/plan/a.ts", `import { x } from "../../contract/x.ts";`],
  ["core <- contract", "src/cli/a.ts", `const { x } = await import("../server/x.ts");`],
  ["core <- contract", "web/screens/a.tsx", `import type { X } from "../../src/server/store/x.ts";`],
  ["core <- contract", "src/threads/a.ts", `import { x } from "../contract/x.ts";`],
  ["core <- contract", "src/contract/a.ts", `export { x } from "../cli/x.ts";`],
  ["a room", "src/core/solve/a.ts", `import { x } from "../check/x.ts";`],
  ["a room", "src/core/check/a.ts", `import type { X } from "../solve/x.ts";`],
  ["a room", "src/core/calendar/a.ts", `import {\n  x,\n} from "../problem/x.ts";`],
  ["a room", "src/core/attic/a.ts", `import { x } from "../ground/x.ts";`],
  ["packages", "src/server/actions/a.ts", `import { PrismaClient } from "../generated/client.ts";`],
  ["packages", "src/server/actions/a.ts", `import express from "express";`],
  ["packages", "src/core/solve/a.ts", `import { Worker } from "node:worker_threads";`],
  ["packages", "src/core/problem/a.ts", `import { z } from "zod";`],
  ["packages", "src/core/check/a.ts", `import { DateTime } from "luxon";`],
  ["packages", "web/board/a.ts", `import { useState } from "react";`],
  ["packages", "web/client/a.ts", `import fs from "node:fs";`],
  ["imports name", "src/core/plan/a.ts", `import { x } from "./x";`],
  ["the core is pure", "src/core/plan/a.ts", "export const now = () => Date.now();"],
  ["the core is pure", "src/core/plan/a.ts", "export const now = () => new Date();"],
  ["the core is pure", "src/core/solve/a.ts", "export const chance = () => Math.random();"],
  ["the core is pure", "src/core/solve/a.ts", "export const name = `$" + "{process.pid}`;"],
  ["the core is pure", "src/core/solve/a.ts", "export async function later() {}"],
  ["every file opens", "src/core/plan/a.ts", "export const x = 1;"],
  ["every file opens", "src/core/plan/a.ts", "/** Plan. */\nexport const x = 1;"],
  ["folders and files", "src/server/utils/a.ts", ""],
  ["folders and files", "src/core/plan/types.ts", ""],
  ["no test is singled out", "tests/core/a.test.ts", `test.only("one", () => {});`],
  ["no test is singled out", "tests/core/a.test.ts", `describe.skip("none", () => {});`],
  ["the compiler", "src/cli/a.ts", "// @ts-ignore\n"],
  ["the compiler", "src/cli/a.ts", "// biome-ignore lint/suspicious/noExplicitAny\n"],
  ["exports have names", "src/cli/a.ts", "export default 1;"],
];

describe("the house keeps its rules", () => {
  test("there is a house to look at", () => {
    for (const place of ["src/core/", "src/contract/", "src/server/", "tests/"]) {
      expect(house.some((file) => file.place.startsWith(place))).toBe(true);
    }
  });

  for (const rule of RULES) {
    test(rule.name, () => {
      expect(rule.offences(house)).toEqual([]);
    });
  }
});

describe("each rule notices an offender", () => {
  test.each(OFFENDERS)("%s: %s %s", (name, place, text) => {
    const bare = name === "every file opens";
    const file = { place, text: bare ? text : HEAD + text };
    for (const rule of RULES) {
      const complaints = rule.offences([file]);
      if (rule.name.startsWith(name)) expect(complaints.join()).toContain(place);
      else expect(complaints).toEqual([]);
    }
  });

  test("no circle of imports: types may point back, values may not", () => {
    const circle = RULES.find((rule) => rule.name === "no circle of imports");
    const files = (back: string): readonly SourceFile[] => [
      { place: "src/core/plan/a.ts", text: `import { b } from "./b.ts";` },
      { place: "src/core/plan/b.ts", text: back },
    ];
    expect(circle?.offences(files(`import type { A } from "./a.ts";`))).toEqual([]);
    expect(circle?.offences(files(`import { a } from "./a.ts";`))).toEqual([
      "src/core/plan/a.ts -> src/core/plan/b.ts -> src/core/plan/a.ts",
    ]);
  });
});

test("the top level holds what it should and nothing else", () => {
  const wanted = [
    "README.md",
    "DEVELOPERS.md",
    "package.json",
    "tsconfig.json",
    "prisma",
    "src",
    "web",
    "tests",
    "docker-compose.yml",
    "seed",
    "docs",
  ];
  const forcedByTools = ["package-lock.json", "Dockerfile", "biome.json", "prisma.config.ts", "vitest.config.ts"];
  const notKept = ["node_modules", "dist"];
  const found = fs.readdirSync(root).filter((name) => !name.startsWith("."));
  expect(found.filter((name) => ![...wanted, ...forcedByTools, ...notKept].includes(name))).toEqual([]);
});
