/** Requests through the API, each by the person it is for: asked, offered another slot, agreed, declined, withdrawn, run out. */
import { afterAll, beforeAll, expect, test } from "vitest";
import type { HoldView } from "../../../src/contract/api/hold.ts";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { RequestSummary, RequestView } from "../../../src/contract/api/request.ts";
import type { PlannedOperation } from "../../../src/core/problem/plan.ts";
import { type EventStream, eventStream } from "../support/event-stream.ts";
import { type Ask, type ShopServer, shopServer } from "../support/shop-server.ts";
import { at, goodPlan, jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
let events: EventStream;
beforeAll(async () => {
  server = await shopServer();
  expect((await server.ask("PUT", "/shop", { body: smallWorkshop() })).status).toBe(200);
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: goodPlan() }, ifMatch: etag })).status).toBe(200);
  events = await eventStream(server.address());
  await server.people();
});
afterAll(async () => {
  await events.close();
  await server.close();
});

const engineer = { as: "requester" } as const;
const planner = { as: "planner" } as const;
const view = async (): Promise<{ view: PlanView; etag: string | null }> => {
  const { body, etag } = await server.ask<PlanView>("GET", "/plan", planner);
  return { view: body, etag };
};
const with_ = async (...added: PlannedOperation[]) => {
  const { view: now, etag } = await view();
  return { ifMatch: etag, plan: { operations: [...now.draft.plan.operations, ...added] } };
};
const asked = async (id: string, ask: Ask = engineer): Promise<RequestView> => {
  const reply = await server.ask<RequestView>("POST", "/requests", {
    ...ask,
    body: { order: jobOrder(id, 1_000), note: "for the map" },
  });
  expect(reply.status).toBe(201);
  return reply.body;
};
const say = (number: number, word: string, body: object, ask: Ask) =>
  server.ask<RequestView & { detail: string }>("POST", `/requests/${number}/${word}`, { ...ask, body });
const bookHas = async (id: string): Promise<boolean> => (await server.ask("GET", `/orders/${id}`, planner)).status === 200;

test("asked: kept apart from the order book, told to screens, refused with the field when it cannot be read", async () => {
  const request = await asked("R1");
  expect(request).toMatchObject({
    state: "asked",
    requester: "The requester",
    mine: true,
    order: "R1",
    wantedBy: 1_000,
    messages: [{ said: "asked", by: "The requester", text: "for the map" }],
  });
  await events.wait((event) => event.type === "request" && event.number === request.number);
  expect(await bookHas("R1")).toBe(false);
  const list = await server.ask<{ items: RequestSummary[] }>("GET", "/requests", planner);
  expect(list.body.items).toMatchObject([{ number: request.number, mine: false, title: "Order R1" }]);
  const again = await server.ask("POST", "/requests", { ...engineer, body: { order: jobOrder("R1") } });
  expect(again).toMatchObject({ status: 409, body: { faults: [{ pointer: "/order/id" }] } });
  const [operation] = jobOrder("R2").operations;
  const unknown = { ...jobOrder("R2"), operations: [{ ...operation, needsCalibrations: ["moon"] }] };
  const bad = await server.ask("POST", "/requests", { ...engineer, body: { order: unknown } });
  expect(bad).toMatchObject({ status: 422, body: { faults: [{ pointer: "/order/operations/0/needsCalibrations/0" }] } });
  const pinned = { ...jobOrder("R2"), operations: [{ ...operation, pin: { start: 480 } }] };
  expect((await server.ask("POST", "/requests", { ...engineer, body: { order: pinned } })).status).toBe(422);
});

test("offered another slot, it stands in the draft as held; agreed to, it is an order like any other", async () => {
  const { number } = await asked("C1");
  const { plan, ifMatch } = await with_(at("C1/1", "mill-b", 600));
  const empty = await say(number, "counter", { plan, until: 2_000, note: "" }, { ...planner, ifMatch });
  expect(empty).toMatchObject({ status: 422, body: { faults: [{ pointer: "/note" }] } });
  expect((await say(number, "counter", { plan, until: 2_000, note: "B is free" }, { ...engineer, ifMatch })).status).toBe(403);
  const offered = await say(number, "counter", { plan, until: 2_000, note: "B is free at ten" }, { ...planner, ifMatch });
  expect(offered.body).toMatchObject({
    state: "countered",
    offer: { start: 600, end: 660, machines: ["mill-b"], until: 2_000 },
    lastMessage: { said: "countered", text: "B is free at ten" },
  });
  const { view: held } = await view();
  expect(held.holds).toMatchObject([{ order: "C1", purpose: "request", until: 2_000 }]);
  expect(held.check.conflicts).toEqual([]);

  const agreed = await say(number, "agree", { note: "fine" }, engineer);
  expect(agreed.body).toMatchObject({ state: "accepted", hold: null });
  expect(agreed.body.messages.map(({ said }) => said)).toEqual(["asked", "countered", "agreed"]);
  const { view: after } = await view();
  expect(after.holds).toEqual([]);
  expect(after.draft.plan.operations.find(({ operation }) => operation === "C1/1")?.lots[0]?.start).toBe(600);
  expect((await server.ask<{ requester: string }>("GET", "/orders/C1", planner)).body.requester).toBe("The requester");
  expect((await say(number, "withdraw", {}, engineer)).body.detail).toContain("was accepted");
});

test("an offer that is turned down, declined, or runs out frees its slot; the request stays or closes accordingly", async () => {
  const { number } = await asked("C2");
  const offer = async () => {
    const { plan, ifMatch } = await with_(at("C2/1", "mill-b", 660));
    return say(number, "counter", { plan, until: 2_000, note: "at eleven" }, { ...planner, ifMatch });
  };
  await offer();
  expect((await say(number, "ask-again", { note: "too late" }, engineer)).body).toMatchObject({ state: "asked", lapsed: false });
  expect(await bookHas("C2")).toBe(false);

  const held = await offer();
  const freed = await server.ask<HoldView>("POST", `/holds/${held.body.hold}/release`, planner);
  expect(freed.body.state).toBe("released");
  const read = await server.ask<RequestView>("GET", `/requests/${number}`, engineer);
  expect(read.body).toMatchObject({ state: "asked", lapsed: true, hold: null, offer: { start: 660 } });
  expect((await say(number, "agree", {}, engineer)).status).toBe(409);

  await offer();
  const declined = await say(number, "decline", { note: "no DC that week" }, planner);
  expect(declined.body).toMatchObject({ state: "declined", lastMessage: { text: "no DC that week" } });
  expect(await bookHas("C2")).toBe(false);
  expect((await view()).view.holds).toEqual([]);
});

test("accepted, order and plan change in one step that one undo takes back; withdrawn only by whoever asked or a planner", async () => {
  const { number } = await asked("A1");
  const { plan, ifMatch } = await with_(at("A1/1", "mill-a", 720));
  const accepted = await say(number, "accept", { plan, note: "" }, { ...planner, ifMatch });
  expect(accepted.body.state).toBe("accepted");
  expect(await bookHas("A1")).toBe(true);
  expect((await server.ask("POST", "/plan/draft/undo", planner)).status).toBe(200);
  expect(await bookHas("A1")).toBe(false);
  expect((await server.ask<RequestView>("GET", `/requests/${number}`, engineer)).body).toMatchObject({
    state: "asked",
    lapsed: true,
  });

  const stale = await asked("A2");
  expect((await say(stale.number, "accept", { plan: null }, { ...planner, ifMatch: '"1"' })).status).toBe(412);
  expect((await server.ask<RequestView>("GET", `/requests/${stale.number}`, planner)).body.state).toBe("asked");
  const other = await asked("A3", planner);
  expect((await say(other.number, "withdraw", {}, engineer)).body.detail).toContain("The planner");
  expect((await say(stale.number, "withdraw", { note: "not needed" }, engineer)).body.state).toBe("withdrawn");
});
