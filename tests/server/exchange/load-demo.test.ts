/** The demo in an empty database: all of it, dated now, put in force, kept once touched and dated anew when old. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { saveDraft } from "../../../src/server/actions/edit-draft.ts";
import { emptyMemory, planningState } from "../../../src/server/actions/planning-state.ts";
import { loadDemo } from "../../../src/server/exchange/load-demo.ts";
import { listPlant } from "../../../src/server/store/plant-store.ts";
import { openStore, type StoreConnection } from "../../../src/server/store/store.ts";
import { type FreshDatabase, freshDatabase } from "../support/fresh-database.ts";

const HOUR = 3_600_000;
const morning = new Date("2026-06-10T06:30:00Z");
let database: FreshDatabase;
let store: StoreConnection;
beforeAll(async () => {
  database = await freshDatabase();
  store = openStore(database.url);
});
afterAll(async () => {
  await store.close();
  await database.drop();
});

const stateAt = (now: Date) => planningState({ store, clock: () => now, memory: emptyMemory() });

test("loads once, with work done, running and frozen, and an order that nobody has planned", async () => {
  expect(await loadDemo(store, morning)).toBe("loaded");
  expect(await loadDemo(store, morning)).toBe("kept");
  const { problem, plan, check, site } = await stateAt(morning);
  expect(Date.parse(problem.origin) + problem.now * 60_000).toBe(morning.getTime());
  expect(site.publishedVersion).toBe(1);
  expect(problem.operations.some((operation) => operation.progress.done.length > 0)).toBe(true);
  expect(problem.operations.some((operation) => operation.progress.running.length > 0)).toBe(true);
  expect((await listPlant(store, "routes")).length).toBeGreaterThan(5);
  const frozen = plan.operations.filter(
    ({ lots }) => (lots[0]?.start ?? 0) >= problem.now && (lots[0]?.start ?? 0) < (problem.freeze ?? 0),
  );
  expect(frozen.length).toBeGreaterThan(0);
  expect(new Set(check.conflicts.map((conflict) => conflict.kind))).toEqual(new Set(["notPlanned"]));
  const { rows } = await store.pool.query<{ lots: string }>("SELECT count(*) AS lots FROM published_lot WHERE version = 1");
  expect(Number(rows[0]?.lots)).toBeGreaterThan(50);
});

test("hours later the demo has gone on by its plan, and still nothing but the rush order is open", async () => {
  const before = await stateAt(morning);
  const later = await stateAt(new Date(morning.getTime() + 7 * HOUR));
  const done = ({ problem }: typeof before) =>
    problem.operations.filter((operation) => operation.progress.done.length > 0).length;
  expect(done(later)).toBeGreaterThan(done(before));
  expect(new Set(later.check.conflicts.map((conflict) => conflict.kind))).toEqual(new Set(["notPlanned"]));
});

test("untouched and old it is dated anew; touched it stays", async () => {
  const later = new Date(morning.getTime() + 30 * HOUR);
  expect(await loadDemo(store, later)).toBe("loaded");
  const state = await stateAt(later);
  expect(Date.parse(state.problem.origin) + state.problem.now * 60_000).toBe(later.getTime());
  expect(state.check.conflicts.every((conflict) => conflict.kind === "notPlanned")).toBe(true);
  const office = { store, clock: () => later, memory: emptyMemory() };
  await saveDraft(
    office,
    { id: "t", name: "Tester", role: "planner" },
    { plan: state.plan, note: "touched" },
    state.draft.number,
  );
  expect(await loadDemo(store, new Date(later.getTime() + 30 * HOUR))).toBe("kept");
});
