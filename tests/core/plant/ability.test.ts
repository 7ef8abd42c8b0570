/** Abilities of rigs against what a test needs: the reason names both numbers, whichever side falls short. */
import { describe, expect, test } from "vitest";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import { writeProblemFile } from "../../../src/contract/write-problem-file.ts";
import { type Ability, abilityShortfall } from "../../../src/core/plant/ability.ts";

const torque: Ability = { name: "torque", unit: "N·m", from: 0, to: 300 };
const need = (from: number | null, to: number | null, name = "torque", unit = "N·m") => ({ name, unit, from, to });

describe("a need against the ranges a machine states", () => {
  test.each([
    [[torque], need(null, 300), null],
    [[torque], need(0, 300), null],
    [[torque], need(null, 450), "torque limit 300 N·m < 450 N·m needed"],
    [[torque], need(-50, 100), "lowest torque 0 N·m > -50 N·m needed"],
    [[], need(null, 100), "no torque stated, 100 N·m needed"],
    [[], need(null, null), "no torque stated, any value needed"],
    [[torque], need(null, null), null],
    [[torque], need(null, 0.1, "Torque ", "kN·m"), "torque stated in N·m, asked for in kN·m: enter both in one unit"],
    // a rig with two gears: one of the ranges must hold the whole need
    [[torque, { ...torque, from: 400, to: 900 }], need(500, 800), null],
    [[torque, { ...torque, from: 400, to: 900 }], need(200, 800), "torque 0 to 300 N·m or 400 to 900 N·m, 200 to 800 N·m needed"],
    [
      [{ name: "speed", unit: "1/min", from: 500, to: 6000 }],
      need(null, 300, "speed", "1/min"),
      "speed 500 to 6000 1/min, 300 1/min needed",
    ],
  ] as const)("%j meets %j: %s", (abilities, wanted, reason) => {
    const shortfall = abilityShortfall(abilities, wanted);
    expect(shortfall?.replace("Torque ", "torque") ?? null).toBe(reason);
  });
});

test("abilities survive the file, and a range that ends before it begins is refused at its field", () => {
  const file = (to: number) => ({
    format: "slotwright-problem",
    version: 1,
    name: "Rigs",
    zone: "Europe/Berlin",
    origin: "2026-06-08T00:00",
    horizon: "2026-06-20",
    machines: [{ id: "dyno", kind: "rig", abilities: [{ name: "temperature", unit: "°C", from: -40.5, to }] }],
  });
  const read = readProblemFile(file(85));
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  expect(read.value.machines[0]?.abilities).toEqual([{ name: "temperature", unit: "°C", from: -40.5, to: 85 }]);
  expect(readProblemFile(writeProblemFile(read.value))).toEqual(read);
  const refused = readProblemFile(file(-60));
  expect(refused.ok ? null : refused.error).toEqual([
    { at: "machines[0].abilities[0].to", message: "-60 is less than -40.5; expected the larger end of the range" },
  ]);
});
