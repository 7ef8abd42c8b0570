/** Free windows and places of whole orders through the API: by one call and as questions, on a workshop planned by hand. */
import { afterAll, beforeAll, expect, test } from "vitest";
import type { QuestionAnswer, QuestionKind, QuestionView } from "../../../src/contract/api/question.ts";
import type { FreeWindowsAnswer } from "../../../src/contract/api/questions/free-windows.ts";
import { type EventStream, eventStream } from "../support/event-stream.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { goodPlan, jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
let events: EventStream;
beforeAll(async () => {
  server = await shopServer({ solverWorkers: "inside" });
  const shop = smallWorkshop();
  const abilities = (to: number) => [{ name: "torque", unit: "N·m", from: 0, to }];
  const machines = (shop.machines ?? []).map((machine, i) => ({
    ...machine,
    kind: "rig" as const,
    abilities: abilities(i === 0 ? 300 : 80),
  }));
  expect(
    (await server.ask("PUT", "/shop", { body: { ...shop, machines, supplies: [{ id: "dc", unit: "kW", amount: 100 }] } })).status,
  ).toBe(200);
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: goodPlan() }, ifMatch: etag })).status).toBe(200);
  events = await eventStream(server.address());
});
afterAll(async () => {
  await events.close();
  await server.close();
});

async function answerTo<K extends QuestionKind>(kind: K, input: object): Promise<QuestionView<K>> {
  const { body } = await server.ask<{ id: string }>("POST", "/questions", { body: { kind, ...input } });
  await events.wait((e) => e.type === "question" && e.id === body.id && ["done", "failed"].includes(e.state));
  return (await server.ask<QuestionView<K>>("GET", `/questions/${body.id}`)).body;
}
const windows = (query: string) => server.ask<FreeWindowsAnswer>("GET", `/free-windows?${query}`);

test("one call answers like the question: first windows, what stands before them, and who would have to move", async () => {
  const { status, body } = await windows("hours=6&supply=dc=60&windows=2");
  expect(status).toBe(200);
  // mill A works 7:00-9:00, mill B 7:00-8:00 and 9:00-10:00; the shift ends at 15:00 (900)
  expect(body.windows).toMatchObject([
    { machine: "mill-a", start: 540, end: 900, freeFrom: 540, after: "X/1", next: null },
    { machine: "mill-a", start: 1860, end: 2220 },
    { machine: "mill-b", start: 1860, end: 2220, freeFrom: 600, after: "X/2", next: null },
    { machine: "mill-b", start: 3300, end: 3660 },
  ]);
  expect(body.better).toMatchObject([
    {
      machine: "mill-a",
      start: 480,
      end: 840,
      moves: "X/1",
      movesFrom: 480,
      movesTo: 480,
      movesOnto: ["mill-b"],
      makesLate: false,
    },
    {
      machine: "mill-b",
      start: 480,
      end: 840,
      moves: "X/2",
      movesFrom: 540,
      movesTo: 540,
      movesOnto: ["mill-a"],
      makesLate: false,
    },
  ]);
  const asked = await answerTo("freeWindows", { minutes: 360, draws: [{ supply: "dc", amount: 60 }], windowsMost: 2 });
  expect(asked.answer satisfies QuestionAnswer<"freeWindows"> | null).toEqual(body);
});

test("rigs that cannot say why with both numbers, rigs that are full are named, and bad fields are refused by name", async () => {
  const able = await windows(`hours=1&ability=${encodeURIComponent("torque=200 N·m")}`);
  expect(able.body.cannot).toEqual([{ machine: "mill-b", name: "Mill B", reasons: ["torque limit 80 N·m < 200 N·m needed"] }]);
  expect(new Set(able.body.windows.map(({ machine }) => machine))).toEqual(new Set(["mill-a"]));
  expect((await windows("hours=9")).body).toMatchObject({
    why: ["Somebody is on site for 8 h at a stretch at most; 9 h are asked for."],
    windows: [],
    full: [{ machine: "mill-a" }, { machine: "mill-b" }],
  });
  for (const [query, field] of [
    ["hours=0", "query/hours"],
    ["hours=1&supply=dc", "query/supply"],
    ["hours=1&before=soon", "query/before"],
  ] as const)
    expect((await server.ask("GET", `/free-windows?${query}`)).body.faults?.[0]?.pointer).toBe(field);
  const unknown = await server.ask("GET", "/free-windows?hours=1&supply=steam=5");
  expect(unknown).toMatchObject({ status: 422, body: { detail: expect.stringContaining("no supply steam") as string } });
});

test("a whole order: its place on each rig, with the operations that would join the draft", async () => {
  const { answer } = await answerTo("places", { order: jobOrder("N", 540, 1) });
  expect(answer?.places.map(({ machines, start, end, late }) => ({ machines, start, end, late }))).toEqual([
    { machines: ["mill-b"], start: 480, end: 540, late: 0 },
    { machines: ["mill-a"], start: 540, end: 600, late: 60 },
  ]);
  const { etag, body } = await server.ask<{ draft: { plan: { operations: object[] } } }>("GET", "/plan");
  const step = await server.ask<{ check: { conflicts: unknown[] } }>("POST", "/plan/steps", {
    ifMatch: etag,
    body: {
      edits: [{ kind: "orders", id: "N", after: jobOrder("N", 540, 1) }],
      plan: { operations: [...body.draft.plan.operations, ...(answer?.places[0]?.operations ?? [])] },
    },
  });
  expect(step.status).toBe(200);
  expect(step.body.check.conflicts).toEqual([]);
  expect((await answerTo("places", { order: "gone" })).error).toContain("no order");
});
