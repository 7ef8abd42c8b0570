/** The problem file: what it means when it is right, and that every way to get it wrong is named at its place. */
import { describe, expect, test } from "vitest";
import { type ProblemFileInput, problemFileSchema, readProblemFile, readProblemText } from "../../src/contract/problem-file.ts";
import { valueAt } from "../../src/core/calendar/step-function.ts";
import { present } from "../../src/core/ground/invariant.ts";
import { DEFAULT_WEIGHTS } from "../../src/core/problem/objective.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { smallShop } from "./small-shop.ts";

const read = (file: ProblemFileInput): Problem => {
  const result = readProblemFile(file);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
};
const machine = (problem: Problem, id: string) =>
  present(
    problem.machines.find((m) => m.id === id),
    id,
  );
const operation = (problem: Problem, id: string) =>
  present(
    problem.operations.find((o) => o.id === id),
    id,
  );

/** Sets the field at a path such as `orders[0].due`; the path must lead to an object or list that exists. */
function put(file: object, path: string, value: unknown): unknown {
  const steps = path.split(/[.[\]]+/).filter((step) => step !== "");
  const last = present(steps.pop(), "step");
  const holder = steps.reduce<unknown>(
    (at, step) => present((at as Record<string, unknown> | null)?.[step], `${step} in ${path}`),
    file,
  );
  if (value === undefined) delete (holder as Record<string, unknown>)[last];
  else (holder as Record<string, unknown>)[last] = value;
  return file;
}

describe("a file that is right", () => {
  const problem = read(smallShop());

  test("is plain data that survives JSON, and reads the same with all its defaults written out", () => {
    expect(JSON.parse(JSON.stringify(problem))).toEqual(problem);
    expect(read(JSON.parse(JSON.stringify(problemFileSchema.parse(smallShop()))))).toEqual(problem);
  });

  test("time: origin as an instant in UTC, now and horizon in minutes, the horizon's date to its end", () => {
    expect([problem.origin, problem.now, problem.horizon]).toEqual(["2026-06-07T22:00:00Z", 480, 14 * 1440]);
    expect(read({ ...smallShop(), origin: "2026-06-08T00:00+02:00" })).toEqual(problem);
    expect(read({ ...smallShop(), origin: "2026-06-07T22:00:00Z", now: "2026-06-08T06:00Z", horizon: 20_160 })).toEqual(problem);
  });

  test("a date is its 00:00 as a begin and its 24:00 as an end: due, window, closure, calibration [C5], freeze", () => {
    expect(problem.orders.map(({ release, due }) => [release, due])).toEqual([
      [0, 5 * 1440],
      [0, null],
      [0, null],
    ]);
    expect(operation(problem, "M1").window).toEqual({ start: 1440, end: 5 * 1440 });
    expect(machine(problem, "mill").closures).toEqual([{ start: 8 * 1440, end: 9 * 1440, reason: "spindle" }]);
    expect(machine(problem, "mill").calibrations).toEqual([{ name: "probe", due: 8 * 1440, interval: 14_400 }]);
    expect(problem.freeze).toBe(1440);
  });

  test("opening times: week, break, second Monday, holiday, extra Saturday, closure", () => {
    const day = (n: number) =>
      machine(problem, "mill")
        .open.filter(([start]) => Math.floor(start / 1440) === n)
        .map(([start, end]) => [start - n * 1440, end - n * 1440]);
    expect([0, 1, 3, 5, 6, 8].map(day)).toEqual([
      [[540, 900]],
      [
        [420, 660],
        [690, 900],
      ],
      [],
      [[420, 720]],
      [],
      [],
    ]);
    expect(machine(problem, "chamber").open).toEqual([[-14 * 1440, 14 * 1440]]);
  });

  test("crews: headcount less absences, presence in breaks, unsocial stretches", () => {
    const [setters] = problem.crews;
    const at = (minute: number) => valueAt(present(setters, "setters").headcount, minute);
    expect([at(539), at(540), at(1440 + 420), at(1440 + 670), at(2 * 1440 + 420), at(5 * 1440 + 420)]).toEqual([
      0, 200, 100, 0, 200, 100,
    ]);
    expect(present(setters, "setters").present).toContainEqual([1440 + 420, 1440 + 900]);
    expect(present(setters, "setters").unsocial).toEqual([[5 * 1440 + 420, 5 * 1440 + 720]]);
  });

  test("supplies: the usual amount, a calendar over it, a dated change over both", () => {
    const amount = present(problem.supplies[0], "dc").amount;
    expect(
      [480, 1300, 2 * 1440, 2 * 1440 + 1300, 3 * 1440, 14 * 1440 - 1, 14 * 1440].map((minute) => valueAt(amount, minute)),
    ).toEqual([300, 400, 100, 100, 400, 400, 0]);
  });

  test("pieces from scrap, names from ids, families and unattended windows, notes left behind", () => {
    expect([operation(problem, "A1").pieces, operation(problem, "A1").name]).toEqual([25, "A1"]);
    expect(operation(problem, "A2").modes[0]?.families).toEqual([85_000]);
    expect(machine(problem, "mill").unattended).toMatchObject({
      kind: "allowed",
      maxMinutes: 600,
      windows: expect.arrayContaining([[1200, 1800]]),
    });
    expect(machine(problem, "mill").setup).toMatchObject({
      kind: "table",
      table: {
        id: "vices",
        minutes: [
          [10, 50],
          [45, 15],
        ],
      },
    });
    expect(JSON.stringify(problem)).not.toContain("notes");
  });

  test("progress counts all pieces when it names none; weights not given are the usual ones", () => {
    expect(operation(problem, "R1").progress).toEqual({
      done: [],
      running: [{ mode: "out", pieces: 1, start: 420, phase: 0, crews: [], remaining: 540, working: true }],
    });
    for (const [old, count] of [
      [{ mode: "out", start: 420, phase: 0, remaining: 540 }, 1],
      [null, 0],
    ] as const) {
      const earlier = read(put(smallShop(), "orders[2].operations[0].progress.running", old) as ProblemFileInput);
      expect(operation(earlier, "R1").progress.running).toHaveLength(count);
    }
    expect(operation(problem, "R2").progress.done).toEqual([{ mode: "bench", pieces: 1, start: 420, end: 450 }]);
    expect(problem.weights).toEqual({ ...DEFAULT_WEIGHTS, waiting: 5 });
  });

  test("a plan that no longer fits its operations may still be published: judging it is the checker's business", () => {
    const file = put(smallShop(), "published.operations[0].lots[0].mode", "gone") as ProblemFileInput;
    expect(read(file).published?.operations[0]?.lots[0]?.mode).toBe("gone");
  });
});

describe("a file that is wrong says where and what would make it right", () => {
  const run = { kind: "run", flow: "solid", work: { kind: "fixed", minutes: 5 } };
  const perPiece = { kind: "run", flow: "solid", work: { kind: "perPiece", seconds: 60 } };
  // What is put where; the place the fault names (the same, if left out); words of its sentence.
  const cases: readonly (readonly [put: string, value: unknown, at: string | null, words: RegExp])[] = [
    // shape
    ["format", "something", null, /expected "slotwright-problem", found "something"/],
    ["version", 2, null, /expected 1, found 2/],
    ["horizon", undefined, null, /expected a whole minute number.*found nothing/],
    ["machines[0].calender", "day", "machines[0]", /no field "calender"; its fields are .*calendar/],
    ["orders[0].quantity", 1.5, null, /whole number, found 1.5/],
    ["orders[0].quantity", "24", null, /expected a number, found "24"/],
    ["orders[0].due", "12.06.2026", null, /local date.*found "12.06.2026"/],
    ["orders[0].operations[0].modes[0].phases[1].work.seconds", 59, null, /at least 60/],
    ["orders[0].operations[0].modes[0].phases[1].flow", "stop", null, /"solid" or "pausable" or "piecewise", found "stop"/],
    ["orders[0].operations[0].modes", [], null, /at least 1/],
    ["links[0].kind", "after", null, /known kinds/],
    ["calendars[0].weekly[0].from", "7:00", null, /HH:MM/],
    ["calendars[0].weekly[0].days[0]", 0, null, /1 or 2 or 3/],
    ["orders[0].scrapPerMille", 1000, null, /at most 999/],
    ["crews[0].people", -1, null, /at least 0/],
    // time
    ["zone", "Europe/Nowhere", null, /unknown time zone.*Europe\/Berlin/],
    ["origin", "2026-06-08T00:00:30Z", null, /full minute/],
    ["origin", "2026-02-30", null, /no date 2026-02-30/],
    ["now", "2026-06-07T12:00", null, /720 minutes before the origin/],
    ["now", "2026-06-23", null, /after the horizon/],
    ["horizon", 0, null, /after the origin/],
    ["horizon", "2036-01-01", null, /two and a half years/],
    ["orders[0].due", "2026-06-31", null, /no date 2026-06-31/],
    ["orders[0].due", "2026-06-12T25:00", null, /no time 25:00/],
    ["orders[0].due", "2026-06-12T12:00+15:00", null, /no offset/],
    // calendars
    ["calendars[1].id", "day", null, /a second time/],
    ["calendars[0].exceptions[0].date", "2026-13-01", null, /no date/],
    ["calendars[0].exceptions[0].last", "2026-06-01", null, /lies before/],
    ["calendars[0].recurring[0].unit", "week", "calendars[0].recurring[0].nth", /unit "month"/],
    [
      "calendars[0].recurring[0]",
      { start: "2026-06-01", unit: "day", last: "2026-07-01", count: 3, content: { closed: true } },
      "calendars[0].recurring[0].count",
      /only one/,
    ],
    ["calendars[0].weekly[0].breaks[0].until", "15:30", "calendars[0].weekly[0].breaks[0]", /within 07:00-15:00/],
    ["calendars[0].extra[0].end", "2026-06-13T06:00", null, /before the start/],
    // plant
    ["machines[1].id", "mill", null, /a second time/],
    ["machines[0].calendar", "night", null, /no calendar "night"; expected one of day, quiet/],
    ["machines[0].unattended.windows", "night", null, /no calendar/],
    ["machines[0].setup.table", "jaws", null, /no setup table "jaws"; expected one of vices/],
    ["machines[0].family", "X", null, /no family of setup table "vices".*V, T/],
    ["machines[1].family", "hot", null, /temperature/],
    ["machines[0].calibrations[1]", { name: "probe", due: 1, interval: 1 }, "machines[0].calibrations[1].name", /a second time/],
    ["setupTables[0].minutes", [[10, 50]], null, /1 rows; expected 2/],
    ["setupTables[0].minutes[1]", [45], null, /1 entries; expected 2/],
    ["setupTables[0].families[1]", "V", null, /a second time/],
    ["crews[0].calendar", "night", null, /no calendar/],
    ["supplies[0].changes[0].calendar", "night", null, /no calendar/],
    ["supplies[1]", { id: "dc", amount: 1 }, "supplies[1].id", /a second time/],
    ["kits[1]", { id: "fixture" }, "kits[1].id", /a second time/],
    // orders and operations
    ["orders[1].id", "A", null, /a second time/],
    ["orders[1].operations[0].id", "A1", null, /unique in the whole file/],
    ["orders[0].operations[0].piecesPerUnit", 1_000_000, null, /pieces to start/],
    ["orders[0].operations[0].modes[1]", { id: "mill", phases: [run] }, "orders[0].operations[0].modes[1].id", /a second time/],
    ["orders[0].operations[0].modes[0].machines[0]", "lathe", null, /no machine "lathe"; expected one of mill, chamber/],
    ["orders[0].operations[0].modes[0].machines[1]", "mill", null, /a second time/],
    ["orders[0].operations[0].modes[0].families", ["T", "V"], null, /2 entries; expected 1/],
    ["orders[0].operations[0].modes[0].families[0]", "X", null, /no family/],
    ["orders[0].operations[1].modes[0].families[0]", "85", null, /thousandths of a kelvin/],
    [
      "orders[0].operations[0].modes[0].phases[0].kind",
      "run",
      "orders[0].operations[0].modes[0].phases",
      /begins with a prepare/,
    ],
    ["orders[0].operations[0].modes[0].phases[1].kind", "prepare", null, /at most one prepare/],
    ["orders[0].operations[0].modes[0].phases[2].flow", "piecewise", null, /seconds per piece/],
    [
      "orders[0].operations[0].modes[0].phases[2].work",
      perPiece.work,
      "orders[0].operations[0].modes[0].phases",
      /2 phases work in seconds per piece/,
    ],
    [
      "orders[0].operations[0].modes[0].phases[0].needs[0].skill",
      "weld",
      null,
      /no crew has the skill "weld"; the crews have set, rig/,
    ],
    ["orders[0].operations[0].modes[0].phases[1].draws[0].supply", "air", null, /no supply/],
    [
      "orders[0].operations[0].modes[0].phases[1].draws[1]",
      { supply: "dc", amount: 1 },
      "orders[0].operations[0].modes[0].phases[1].draws[1]",
      /a second time/,
    ],
    ["orders[0].operations[0].modes[0].calendar", "day", null, /without a machine/],
    ["orders[2].operations[0].modes[0].calendar", "night", null, /no calendar/],
    ["orders[0].operations[0].kits[0].kit", "jig", null, /no kit "jig"/],
    ["orders[0].operations[0].kits[1]", { kit: "fixture" }, null, /a second time/],
    ["orders[0].operations[0].needsCalibrations[0]", "scale", null, /no machine has a calibration/],
    ["orders[1].operations[0].calibrates[0]", "scale", null, /no machine has a calibration/],
    ["orders[0].operations[1].startSkill", "weld", null, /no crew has the skill/],
    ["orders[0].operations[1].pin.machines[0]", "lathe", null, /no machine/],
    ["orders[1].operations[0].window.end", "2026-06-01", null, /before the start/],
    // progress
    ["orders[2].operations[1].progress.done[0].end", 500, null, /after now \(480\)/],
    ["orders[2].operations[1].progress.done[0].mode", "gone", null, /no mode/],
    [
      "orders[2].operations[1].progress.done[1]",
      { mode: "bench", start: 1, end: 2 },
      "orders[2].operations[1].progress",
      /2 pieces are done or running; the operation has only 1/,
    ],
    ["orders[2].operations[0].progress.running[0].start", 481, null, /after now/],
    ["orders[2].operations[0].progress.running[0].mode", "gone", null, /no mode/],
    ["orders[2].operations[0].progress.running[0].phase", 1, null, /from 0 to 0/],
    [
      "orders[2].operations[0].progress.running[0].crews",
      ["rigs"],
      "orders[2].operations[0].progress.running[0].crews",
      /1 crews; expected 0/,
    ],
    [
      "orders[2].operations[0].progress.running[0].remaining",
      0,
      "orders[2].operations[0].progress.running[0].working",
      /expected false/,
    ],
    [
      "orders[2].operations[1].progress.running",
      { mode: "bench", start: 450, phase: 0, crews: ["rigs"], remaining: 5 },
      "orders[2].operations[1].progress.running[0]",
      /all pieces.*other lots/,
    ],
    // links and the like
    ["links[0].from", "Z9", null, /no operation "Z9"/],
    ["links[0].to", "A1", null, /with itself/],
    ["links[1].maxLag", 29, null, /less than the shortest lag 30/],
    ["links[1].id", "A1>A2", null, /a second time/],
    [
      "links[3]",
      { kind: "lag", id: "back", from: "A2", to: "R1" },
      "links",
      /circle: (R1 -> A1 -> A2 -> R1|A1 -> A2 -> R1 -> A1|A2 -> R1 -> A1 -> A2)/,
    ],
    ["links[0].to", "M1", null, /seconds per piece; mode mill of M1/],
    ["orders[0].operations[1].piecesPerUnit", 2, "links[0]", /A1 has 25, A2 has 50/],
    ["kitSpans[0].kit", "jig", null, /no kit/],
    ["kitSpans[0].to", "R2", null, /not linked after/],
    ["runHourRules[0].machine", "lathe", null, /no machine/],
    ["runHourRules[0].operations[1]", "M1", null, /a second time/],
    ["runHourRules[0].operations[0]", "A2", null, /no mode on machine mill/],
    // the published plan
    ["published.operations[0].operation", "Z9", null, /no operation/],
    ["published.operations[0].lots[0].start", 1850, null, /first work begins at minute 1860/],
  ];
  for (const [path, value, at, words] of cases)
    test(`${path} = ${JSON.stringify(value)}`, () => {
      const result = readProblemFile(put(smallShop(), path, value));
      expect(result.ok).toBe(false);
      if (result.ok) return;
      expect(result.error).toContainEqual({ at: at ?? path, message: expect.stringMatching(words) });
      expect(new Set(result.error.map((fault) => `${fault.at} ${fault.message}`)).size).toBe(result.error.length);
    });

  test("part of the pieces done without a split", () => {
    const file = put(put(smallShop(), "orders[2].quantity", 2) as object, "orders[2].operations[1].progress.done[0].pieces", 1);
    const result = readProblemFile(file);
    expect(result.ok ? [] : result.error).toEqual([
      { at: "orders[2].operations[1].progress", message: expect.stringMatching(/1 of 2 pieces.*not splittable/) },
    ]);
  });

  test("all faults of a file come at once", () => {
    const file = put(put(smallShop(), "machines[0].calendar", "night") as object, "links[0].from", "Z9");
    const result = readProblemFile(file);
    expect(result.ok ? [] : result.error.map(({ at }) => at)).toEqual(
      expect.arrayContaining(["machines[0].calendar", "links[0].from"]),
    );
  });

  test("things that are no object at all", () => {
    for (const json of [null, 7, "text", []])
      expect(readProblemFile(json)).toEqual({
        ok: false,
        error: [{ at: "(file)", message: expect.stringMatching(/expected an object/) }],
      });
  });
});

describe("text", () => {
  const lines = (file: unknown) => JSON.stringify(file, null, 2);
  const faults = (text: string) => {
    const result = readProblemText(text);
    return result.ok ? [] : result.error;
  };

  test("a good text reads like its value, also behind a byte order mark and with other line ends", () => {
    const text = lines(smallShop());
    for (const variant of [text, `\uFEFF${text}`, text.replaceAll("\n", "\r\n")])
      expect(readProblemText(variant)).toEqual(readProblemFile(smallShop()));
  });

  test("faults name the line of the place, or of the nearest place around it", () => {
    const text = lines(put(put(smallShop(), "machines[0].calendar", "night") as object, "orders[0].operations", undefined));
    const number = text.split("\n").findIndex((line) => line.includes('"night"')) + 1;
    expect(faults(lines(put(smallShop(), "machines[0].calendar", "night")))[0]?.at).toBe(`line ${number}: machines[0].calendar`);
    expect(faults(text).find(({ at }) => at.endsWith("orders[0].operations"))?.at).toMatch(/^line \d+: /);
  });

  test("text that is not JSON: the line and what was expected there", () => {
    expect(faults('{\n  "format": "slotwright-problem",\n  "version" 1\n}')).toEqual([
      { at: "line 3", message: expect.stringMatching(/colon/) },
    ]);
    expect(faults('{\n  // no\n  "a": 1 }')).toEqual([{ at: "line 2", message: expect.stringMatching(/comments/) }]);
    expect(faults('{ "a": [1, 2 ')).toEqual([{ at: "line 1", message: expect.stringMatching(/bracket/) }]);
    expect(faults("")).toEqual([{ at: "line 1", message: expect.stringMatching(/value/) }]);
    expect(faults('{ "a": 1,\n "a": 2 }')).toEqual([{ at: "line 2", message: expect.stringMatching(/"a" a second time/) }]);
  });
});
