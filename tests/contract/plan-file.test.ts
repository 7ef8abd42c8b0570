/** The plan file: what is written can be read back, and what is no plan at all is refused at its place. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type PlanFile, readPlanFile, readPlanText, writePlanFile } from "../../src/contract/plan-file.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import type { Interval } from "../../src/core/calendar/minute.ts";
import type { Plan, PlannedLot } from "../../src/core/problem/plan.ts";
import { smallShop } from "./small-shop.ts";

const read = readProblemFile({ ...smallShop(), published: null });
if (!read.ok) throw new Error(JSON.stringify(read.error));
const problem = read.value;

/** Any well-formed plan of the small shop: good or bad, but starts and ends agree with the work. R1 runs since minute 420. */
const planArbitrary: fc.Arbitrary<Plan> = (() => {
  const stretches = fc.array(fc.tuple(fc.integer({ min: 1, max: 900 }), fc.integer({ min: 1, max: 900 })), {
    minLength: 1,
    maxLength: 4,
  });
  const lot = (running: boolean): fc.Arbitrary<PlannedLot> =>
    fc
      .record({
        mode: fc.constantFrom("mill", "out", "gone"),
        pieces: fc.integer({ min: 1, max: 30 }),
        from: fc.integer({ min: 480, max: 5000 }),
        phases: fc.array(
          fc.tuple(fc.integer({ min: 1, max: 3 }), stretches, fc.array(fc.constantFrom("setters", "rigs"), { maxLength: 2 })),
          { maxLength: 3 },
        ),
      })
      .map(({ mode, pieces, from, phases }) => {
        let phase = -1;
        let at = from;
        let first = true;
        const planned = phases.map(([step, lengths, crews]) => {
          phase += step;
          const work = lengths.map(([gap, length]): Interval => {
            const start = first ? at : at + gap;
            first = false;
            at = start + length;
            return [start, at];
          });
          return { phase, work, crews };
        });
        return { mode, pieces, start: running ? 420 : from, end: at, phases: planned };
      });
  const operation = (id: string) =>
    fc
      .array(lot(false), { maxLength: 3 })
      .chain((lots) => (id === "R1" ? lot(true).map((first) => [first, ...lots]) : fc.constant(lots)))
      .map((lots) => ({ operation: id, lots }));
  return fc
    .uniqueArray(fc.constantFrom(...problem.operations.map(({ id }) => id as string)), { maxLength: 5 })
    .chain((ids) => fc.tuple(...ids.map(operation)))
    .map((operations) => ({ operations }));
})();

test("import of export is identity, through text too", () => {
  fc.assert(
    fc.property(planArbitrary, (plan) => {
      const file = writePlanFile(problem, plan, "a note");
      expect(readPlanFile(file, problem)).toEqual({ ok: true, value: plan });
      expect(readPlanText(JSON.stringify(file), problem)).toEqual({ ok: true, value: plan });
    }),
    { numRuns: 200, seed: 42 },
  );
});

const plan: Plan = {
  operations: [
    {
      operation: "M1",
      lots: [
        {
          mode: "mill",
          pieces: 1,
          start: 600,
          end: 720,
          phases: [
            {
              phase: 0,
              work: [
                [600, 640],
                [700, 720],
              ],
              crews: ["setters"],
            },
          ],
        },
      ],
    },
    {
      operation: "R1",
      lots: [{ mode: "out", pieces: 1, start: 420, end: 1000, phases: [{ phase: 0, work: [[480, 1000]], crews: [] }] }],
    },
  ],
};
const file = (): PlanFile => writePlanFile(problem, plan);

describe("reading", () => {
  test("local times stand beside the minutes for people and are not read back", () => {
    const written = file();
    expect(written.operations[0]?.lots[0]).toMatchObject({ startLocal: "2026-06-08T10:00", endLocal: "2026-06-08T12:00" });
    expect(readPlanText(JSON.stringify(written).replace("2026-06-08T10:00", "any time"), problem)).toEqual({
      ok: true,
      value: plan,
    });
  });

  test("moments may be local times, and stretches that touch are one", () => {
    const text = JSON.stringify(file())
      .replace('"start":600', '"start":"2026-06-08T10:00"')
      .replace("[600,640]", '["2026-06-08T10:00","2026-06-08T08:20Z"],[620,640]');
    expect(readPlanText(text, problem)).toEqual({ ok: true, value: plan });
  });

  const cases: readonly (readonly [what: string, change: (file: PlanFile) => void, at: string, words: RegExp])[] = [
    [
      "an operation that the problem does not have",
      (f) => void Object.assign(f.operations[0] ?? {}, { operation: "Z" }),
      "operations[0].operation",
      /no operation "Z"/,
    ],
    [
      "an operation twice",
      (f) => void Object.assign(f.operations[0] ?? {}, { operation: "R1" }),
      "operations[1].operation",
      /a second time/,
    ],
    [
      "a start that is not that of the work",
      (f) => void Object.assign(f.operations[0]?.lots[0] ?? {}, { start: 599 }),
      "operations[0].lots[0].start",
      /begins at minute 600/,
    ],
    [
      "an end that is not that of the work",
      (f) => void Object.assign(f.operations[1]?.lots[0] ?? {}, { end: 1001 }),
      "operations[1].lots[0].end",
      /ends at minute 1000/,
    ],
    [
      "an end before the start",
      (f) => void Object.assign(f.operations[0]?.lots[0] ?? {}, { end: 10 }),
      "operations[0].lots[0].end",
      /before the start/,
    ],
    [
      "work before a running lot started",
      (f) => void Object.assign(f.operations[1]?.lots[0] ?? {}, { start: 490 }),
      "operations[1].lots[0].start",
      /begins at minute 480/,
    ],
    [
      "a lot without work that lasts",
      (f) => void Object.assign(f.operations[0]?.lots[0] ?? {}, { phases: [] }),
      "operations[0].lots[0].phases",
      /instant/,
    ],
    [
      "stretches out of order",
      (f) => void f.operations[0]?.lots[0]?.phases[0]?.work.reverse(),
      "operations[0].lots[0].phases[0].work[1]",
      /before the stretch before it ends/,
    ],
    [
      "an empty stretch",
      (f) => void f.operations[0]?.lots[0]?.phases[0]?.work.push([720, 720]),
      "operations[0].lots[0].phases[0].work[2]",
      /empty/,
    ],
    [
      "phases out of order",
      (f) => void f.operations[0]?.lots[0]?.phases.push({ phase: 0, work: [], crews: [] }),
      "operations[0].lots[0].phases[1].phase",
      /each once/,
    ],
    ["another origin", (f) => void Object.assign(f, { origin: "2026-06-08T00:00:00Z" }), "origin", /belongs to another problem/],
    ["another format", (f) => void Object.assign(f, { format: "slotwright-problem" }), "format", /expected "slotwright-plan"/],
    [
      "a half minute",
      (f) => void Object.assign(f.operations[0]?.lots[0] ?? {}, { start: 599.5 }),
      "operations[0].lots[0].start",
      /whole/,
    ],
  ];
  for (const [what, change, at, words] of cases)
    test(`refused: ${what}`, () => {
      const broken = file();
      change(broken);
      const result = readPlanFile(broken, problem);
      expect(result.ok ? [] : result.error).toContainEqual({ at, message: expect.stringMatching(words) });
    });
});
