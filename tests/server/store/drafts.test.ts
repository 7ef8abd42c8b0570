/** Draft revisions are bounded: the oldest are forgotten, the way back ends at the oldest one kept, and the one pointed at stays. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { addDraft, countDrafts, nextDraft, readDraft } from "../../../src/server/store/plan-store.ts";
import { ensureSite, pointTo } from "../../../src/server/store/site-store.ts";
import { openStore, type StoreConnection } from "../../../src/server/store/store.ts";
import { type FreshDatabase, freshDatabase } from "../support/fresh-database.ts";

const LIMIT = 5;
let database: FreshDatabase;
let store: StoreConnection;
beforeAll(async () => {
  database = await freshDatabase();
  store = openStore(database.url);
  await ensureSite(store, new Date("2026-06-08T07:00Z"));
});
afterAll(async () => {
  await store.close();
  await database.drop();
});

async function append(previous: number | null): Promise<number> {
  const number = await addDraft(store, { previous, plan: { operations: [] }, note: "", author: "test", basedOn: null }, LIMIT);
  await pointTo(store, { draftNumber: number });
  return number;
}

test("a long chain keeps its newest part", async () => {
  const numbers: number[] = [];
  for (let i = 0; i < 12; i++) numbers.push(await append(numbers.at(-1) ?? null));
  expect(await countDrafts(store)).toBe(LIMIT);
  const way: number[] = [];
  for (let at: number | null = numbers.at(-1) ?? null; at !== null; at = (await readDraft(store, at))?.previous ?? null)
    way.push(at);
  expect(way).toEqual(numbers.slice(-LIMIT).reverse());

  // Undone to the oldest, then edited: that one is still there to come back to, whatever was forgotten meanwhile.
  const oldest = way.at(-1) ?? 0;
  await pointTo(store, { draftNumber: oldest });
  const branch = await append(oldest);
  expect((await readDraft(store, branch))?.previous).toBe(oldest);
  expect(await readDraft(store, oldest)).not.toBeNull();
  const after = await append(branch);
  expect(await nextDraft(store, branch)).toBe(after);
  expect((await readDraft(store, branch))?.previous).toBeNull();
  expect(await readDraft(store, oldest)).toBeNull();
});
