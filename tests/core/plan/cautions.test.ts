/** Cautions: against a minute-by-minute look at random plans, and what the proposed rules find in words of machines and supplies. */
import { describe, expect, test } from "vitest";
import { proposedCautions } from "../../../src/core/plan/caution-defaults.ts";
import { type CautionRule, cautionsOf, cautionsOfStart } from "../../../src/core/plan/cautions.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { randomPlan } from "../../arbitraries/random-plan.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";

const ALONE: CautionRule = { id: "alone", title: "Alone", alone: true, machines: [], supplies: [], items: ["look"] };

/** Straight from the words: a minute from now on in which a phase that needs nobody works on a machine and no crew is there. */
function aloneByMinutes(problem: Problem, plan: Plan): Set<string> {
  const found = new Set<string>();
  const there = (minute: number): boolean =>
    problem.crews.some(({ present }) => present.some(([from, until]) => minute >= from && minute < until));
  if (problem.crews.length === 0) return found;
  for (const { operation: id, lots } of plan.operations) {
    const operation = problem.operations.find((each) => each.id === id);
    for (const lot of lots) {
      const mode = operation?.modes.find((each) => each.id === lot.mode);
      if (!mode || mode.machines.length === 0) continue;
      for (const { phase, work } of lot.phases)
        for (const [from, until] of work)
          for (let minute = Math.max(from, problem.now); minute < Math.min(until, problem.horizon); minute++)
            if (mode.phases[phase]?.needs.length === 0 && !there(minute)) found.add(id);
    }
  }
  return found;
}

describe("what a plan holds", () => {
  test("work with nobody on site is found exactly where a look at every minute finds it", () => {
    let some = 0;
    for (let seed = 1; seed <= 600; seed++) {
      const problem = tinyProblem(seed);
      const plan = randomPlan(problem, seed + 7919);
      const expected = aloneByMinutes(problem, plan);
      const found = cautionsOf(problem, plan, [ALONE]).flatMap(({ operations }) => operations);
      expect(new Set(found), `seed ${seed}`).toEqual(expected);
      expect(found.length).toBe(expected.size);
      some += expected.size;
    }
    expect(some).toBeGreaterThan(40);
  });

  test("rules about machines and supplies name every planned operation that uses one of them, and no other", () => {
    let some = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const problem = tinyProblem(seed);
      const plan = randomPlan(problem, seed + 7919);
      const [machine] = problem.machines;
      const [supply] = problem.supplies;
      const rule = { ...ALONE, alone: false, machines: machine ? [machine.id] : [], supplies: supply ? [supply.id] : [] };
      if (rule.machines.length + rule.supplies.length === 0) continue;
      const expected = plan.operations
        .filter(({ operation: id, lots }) =>
          lots.some((lot) => {
            const text = JSON.stringify(
              problem.operations.find((each) => each.id === id)?.modes.find((mode) => mode.id === lot.mode) ?? {},
            );
            const mode = JSON.parse(text) as { machines?: string[]; phases?: { draws: { supply: string; amount: number }[] }[] };
            const uses = rule.machines.some((each) => mode.machines?.includes(each));
            const draws = mode.phases?.flatMap((phase) => phase.draws).filter(({ amount }) => amount > 0);
            return uses || draws?.some((draw) => rule.supplies.includes(draw.supply)) === true;
          }),
        )
        .map(({ operation }) => operation);
      const found = cautionsOf(problem, plan, [rule]).flatMap(({ operations }) => operations);
      expect([...found].sort(), `seed ${seed}`).toEqual(expected.sort());
      some += found.length;
    }
    expect(some).toBeGreaterThan(100);
  });

  test("a start without a plan meets what its mode allows: a machine that may run alone, not one that never does", () => {
    let [allowed, never] = [0, 0];
    for (let seed = 1; seed <= 300; seed++) {
      const problem = tinyProblem(seed);
      for (const operation of problem.operations)
        for (const mode of operation.modes) {
          const machines = problem.machines.filter(({ id }) => mode.machines.includes(id));
          const met = cautionsOfStart(problem, operation, mode, [], [ALONE]).length;
          if (machines.length === 0 || machines.some(({ unattended }) => unattended.kind === "never")) {
            expect(met, `seed ${seed} ${operation.id}`).toBe(0);
            never += 1;
          } else allowed += met;
        }
    }
    expect(allowed).toBeGreaterThan(20);
    expect(never).toBeGreaterThan(20);
  });
});

describe("what is proposed", () => {
  const machine = (id: string, name: string, group = "Shop") => ({ id, name, group });
  const supply = (id: string, name: string, unit: string) => ({ id, name, unit });
  const proposedFor = (machines: unknown[], supplies: unknown[]) =>
    proposedCautions({ machines, supplies } as unknown as Pick<Problem, "machines" | "supplies">);

  test("by the words of machines and by supplies of electric power", () => {
    const rules = proposedFor(
      [machine("m", "Mill 1"), machine("w", "Wire-cut machine"), machine("d", "Dyno 2"), machine("b", "Station 4", "Balancing")],
      [
        supply("dc", "DC supply of the test field", "kW"),
        supply("air", "Compressed air", "m3/h"),
        supply("water", "Chilled water", "kW"),
      ],
    );
    const byId = new Map(rules.map((rule) => [rule.id, rule]));
    expect([...byId.keys()]).toEqual(["unattended", "wire-cut", "high-voltage", "rotating"]);
    expect(byId.get("wire-cut")).toMatchObject({ alone: true, machines: ["w"] });
    expect(byId.get("high-voltage")).toMatchObject({ alone: false, machines: [], supplies: ["dc"] });
    expect(byId.get("rotating")?.machines).toEqual(["d", "b"]);
    for (const { items } of rules) expect(items.length).toBeGreaterThanOrEqual(4);
  });

  test("a shop of mills is asked about unattended work alone, and no text claims safety", () => {
    const rules = proposedFor([machine("m", "Mill 1")], []);
    expect(rules.map(({ id }) => id)).toEqual(["unattended"]);
    const all = proposedFor([machine("w", "Wire EDM"), machine("d", "Dyno")], [supply("dc", "DC", "A")]);
    for (const text of all.flatMap(({ title, items }) => [title, ...items])) expect(text).not.toMatch(/\b(is|are) safe\b/i);
  });
});
