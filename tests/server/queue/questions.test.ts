/** Questions from the asking to the answer: watched, called off, refused, and told to be stale when the shop has changed. */
import { afterAll, beforeAll, expect, test } from "vitest";
import type { QuestionView } from "../../../src/contract/api/question.ts";
import { type EventStream, eventStream } from "../support/event-stream.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
let events: EventStream;
beforeAll(async () => {
  server = await shopServer({ solverWorkers: "inside" });
  expect((await server.ask("PUT", "/shop", { body: smallWorkshop() })).status).toBe(200);
  events = await eventStream(server.address());
});
afterAll(async () => {
  events.close();
  await server.close();
});

const ask = async (body: object): Promise<string> => {
  const reply = await server.ask<{ id: string }>("POST", "/questions", { body });
  expect(reply.status).toBe(202);
  expect(reply.headers.get("location")).toBe(`/api/v1/questions/${reply.body.id}`);
  return reply.body.id;
};
const over = (id: string) =>
  events.wait((event) => event.type === "question" && event.id === id && ["done", "cancelled", "failed"].includes(event.state));
const read = async (id: string): Promise<QuestionView<"holdOut">> =>
  (await server.ask<QuestionView<"holdOut">>("GET", `/questions/${id}`)).body;

test("a shop in which everything fits", async () => {
  const id = await ask({ kind: "holdOut" });
  await over(id);
  const question = await read(id);
  expect(question).toMatchObject({ state: "done", stale: false, answer: { kind: "holds" }, error: null });
});

test("two pins on one machine at one time are named, and the answer goes stale with the shop", async () => {
  const pinned = (id: string) => ({
    ...jobOrder(id),
    operations: jobOrder(id).operations?.map((operation) => ({ ...operation, pin: { machines: ["mill-a"], start: 480 } })),
  });
  for (const id of ["R", "S"]) expect((await server.ask("POST", "/orders", { body: pinned(id) })).status).toBe(201);
  const id = await ask({ kind: "holdOut" });
  await over(id);
  const { answer, stale } = await read(id);
  expect(stale).toBe(false);
  if (answer?.kind !== "contradictions") throw new Error(`answered ${JSON.stringify(answer)}`);
  expect(answer.solvableWithout).toBe(true);
  const [set] = answer.sets;
  expect(set?.proof).toBe("proved");
  expect(set?.demands.map(({ demand }) => demand)).toEqual([
    { kind: "pin", operation: "R/1" },
    { kind: "pin", operation: "S/1" },
  ]);
  expect((await server.ask("POST", "/orders", { body: jobOrder("T") })).status).toBe(201);
  expect((await read(id)).stale).toBe(true);
});

test("called off, it ends without an answer; a finished one stays as it is", async () => {
  const id = await ask({ kind: "holdOut" });
  expect((await server.ask("DELETE", `/questions/${id}`)).status).toBe(200);
  await over(id);
  const { state } = await read(id);
  expect(["cancelled", "done"]).toContain(state);
  const again = await server.ask<QuestionView>("DELETE", `/questions/${id}`);
  expect(again.body.state).toBe(state);
});

test("what cannot be asked is refused with the place, and an unknown scenario fails with a sentence", async () => {
  const bad = await server.ask("POST", "/questions", { body: { kind: "whatever" } });
  expect(bad.status).toBe(422);
  expect((await server.ask("GET", "/questions/00000000-0000-4000-8000-000000000000")).status).toBe(404);
  const id = await ask({ kind: "holdOut", scenario: "00000000-0000-4000-8000-000000000000" });
  await over(id);
  expect(await read(id)).toMatchObject({ state: "failed", error: expect.stringContaining("no scenario") as string });
});

test("who may not ask is told who may", async () => {
  await server.people();
  const reply = await server.ask("POST", "/questions", { body: { kind: "holdOut" }, as: "viewer" });
  expect(reply.status).toBe(403);
  expect(reply.body).toMatchObject({ detail: expect.stringContaining("planner") as string });
});
