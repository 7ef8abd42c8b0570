/**
 * Calendar feeds over HTTP, read by a parser that is not ours: UIDs that stay, SEQUENCE that grows with each published change,
 * CANCELLED for what is gone, a crew's nights left free, addresses that only their secret opens and that can be taken back.
 */
import ical from "node-ical";
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import type { FeedInput, FeedMade } from "../../../src/contract/api/feed.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { at, goodPlan, jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer();
});
afterAll(() => server.close());
beforeEach(async () => {
  expect((await server.ask("PUT", "/shop?replace=true", { body: smallWorkshop() })).status).toBe(200);
});

async function publish(plan: unknown): Promise<void> {
  const { etag } = await server.ask("GET", "/plan");
  const draft = await server.ask("PUT", "/plan/draft", { body: { plan, note: "" }, ifMatch: etag });
  expect(draft.status).toBe(200);
  const body = { note: "", acknowledgedBy: "A planner" };
  expect(await server.ask("POST", "/plan/publish", { body, ifMatch: draft.etag })).toMatchObject({ status: 201 });
}

const make = (input: Partial<FeedInput> = {}) =>
  server.ask<FeedMade>("POST", "/calendar-feeds", { body: { audience: "machine", subject: "mill-a", ...input } });
const fetchFeed = (path: string, headers: Record<string, string> = {}) => fetch(server.address() + path, { headers });

type Event = { uid: string; sequence: number; status: string; summary: string; start: Date; end: Date; type: string };
async function read(path: string): Promise<ReadonlyMap<string, Event>> {
  const text = await (await fetchFeed(path)).text();
  const events = Object.values(ical.sync.parseICS(text)).filter((part) => part?.type === "VEVENT") as unknown as Event[];
  return new Map(events.map((event) => [String(event.summary), event]));
}

test("an event keeps its UID; what changes counts up, what goes is cancelled, what is untouched stays as it was", async () => {
  await publish(goodPlan());
  const { body, status } = await make();
  expect(status).toBe(201);
  expect(body).toMatchObject({ feed: { audience: "machine", subject: "mill-a", name: "Mill A", content: "events" } });
  const first = await read(body.path);
  expect([...first.keys()].sort()).toEqual(["P P/1", "X X/1"]);
  const p = first.get("P P/1")!;
  expect([p.start.toISOString(), p.end.toISOString()]).toEqual(["2026-06-08T07:00:00.000Z", "2026-06-08T08:00:00.000Z"]);
  expect(p).toMatchObject({ sequence: 0, status: "CONFIRMED" });

  // P an hour later than X/2, X/1 elsewhere: moved, and gone from this machine
  await publish({
    operations: [at("P/1", "mill-a", 600), at("Q/1", "mill-b", 420), at("X/1", "mill-b", 480), at("X/2", "mill-b", 540)],
  });
  const second = await read(body.path);
  expect(second.get("P P/1")).toMatchObject({ uid: p.uid, sequence: 1, status: "CONFIRMED" });
  expect(second.get("P P/1")!.start.toISOString()).toBe("2026-06-08T10:00:00.000Z");
  expect(second.get("X X/1")).toMatchObject({ uid: first.get("X X/1")!.uid, sequence: 1, status: "CANCELLED" });

  // back again: the same events, counting on
  await publish(goodPlan());
  const third = await read(body.path);
  expect(third.get("P P/1")).toMatchObject({ uid: p.uid, sequence: 2 });
  expect(third.get("X X/1")).toMatchObject({ uid: first.get("X X/1")!.uid, sequence: 2, status: "CONFIRMED" });
  await publish(goodPlan());
  expect((await read(body.path)).get("X X/1")).toMatchObject({ sequence: 2 });
});

test("the crew, the order and a plan that came with a file have their calendars too; closed time is unavailable", async () => {
  const published = goodPlan();
  const file = { ...smallWorkshop(), published };
  expect((await server.ask("PUT", "/shop?replace=true", { body: file })).status).toBe(200);
  const crew = (await make({ audience: "crew", subject: "millers" })).body;
  expect([...(await read(crew.path)).values()].filter(({ status }) => status === "CONFIRMED")).toHaveLength(4);
  const order = (await make({ audience: "order", subject: "X" })).body;
  expect([...(await read(order.path)).keys()].sort()).toEqual(["X X/1 (Mill A)", "X X/2 (Mill B)"]);

  const busy = (await make({ content: "freeBusy" })).body;
  const response = await fetchFeed(busy.path);
  const text = await response.text();
  expect(text).not.toContain("P/1");
  const periods = (
    Object.values(ical.sync.parseICS(text)).find((part) => part?.type === "VFREEBUSY") as unknown as {
      freebusy: { type: string; start: Date; end: Date }[];
    }
  ).freebusy.map(({ type, start, end }) => [type, start.toISOString(), end.toISOString()]);
  expect(periods.slice(0, 3)).toEqual([
    ["BUSY-UNAVAILABLE", "2026-06-08T00:00:00.000Z", "2026-06-08T07:00:00.000Z"],
    ["BUSY", "2026-06-08T07:00:00.000Z", "2026-06-08T09:00:00.000Z"],
    ["BUSY-UNAVAILABLE", "2026-06-08T15:00:00.000Z", "2026-06-09T07:00:00.000Z"],
  ]);
});

test("a calendar that has the newest text is told so", async () => {
  await publish(goodPlan());
  const { path } = (await make()).body;
  const first = await fetchFeed(path);
  expect(first.headers.get("content-type")).toBe("text/calendar; charset=utf-8");
  const [etag, modified] = [first.headers.get("etag")!, first.headers.get("last-modified")!];
  expect((await fetchFeed(path, { "If-None-Match": etag })).status).toBe(304);
  expect((await fetchFeed(path, { "If-Modified-Since": modified })).status).toBe(304);
  await publish({ operations: [at("P/1", "mill-a", 600), ...goodPlan().operations.slice(1)] });
  const changed = await fetchFeed(path, { "If-None-Match": etag });
  expect(changed.status).toBe(200);
  expect(changed.headers.get("etag")).not.toBe(etag);
});

test("a wrong secret, a revoked one and somebody else's feed are nothing; bad wishes are named", async () => {
  const { path, feed } = (await make()).body;
  const secret = /^\/feeds\/(.+)\.ics$/.exec(path)![1]!;
  expect(Buffer.from(secret, "base64url")).toHaveLength(32);
  const { rows } = await server.store.pool.query<{ all: string }>("SELECT string_agg(c::text, ' ') AS all FROM calendar_feed c");
  expect(rows[0]!.all).not.toContain(secret);
  expect((await fetchFeed(path)).status).toBe(200);
  const other = secret.replace(/.$/, (last) => (last === "A" ? "E" : "A"));
  for (const wrong of [`/feeds/${other}.ics`, "/feeds/x.ics", `/feeds/${secret}`, `/feeds/${secret}.ics/more`])
    expect({ wrong, status: (await fetchFeed(wrong)).status }).toEqual({ wrong, status: 404 });
  expect(await make({ subject: "lathe" })).toMatchObject({
    status: 422,
    body: { faults: [{ pointer: "/subject", message: expect.stringContaining("machine") }] },
  });
  expect((await server.ask("DELETE", `/calendar-feeds/${feed.id}`)).status).toBe(204);
  const revoked = await fetchFeed(path);
  expect(revoked.status).toBe(404);
  expect((await server.ask("DELETE", `/calendar-feeds/${feed.id}`)).status).toBe(404);
});

test("a held slot is tentative in the calendars, gone when it is released, confirmed when it is agreed and published", async () => {
  await publish(goodPlan());
  const hold = async () => {
    const held = await server.ask<{ id: string }>("POST", "/holds", {
      body: {
        order: jobOrder("H", null),
        plan: { operations: [...goodPlan().operations, at("H/1", "mill-a", 600)] },
        ...{ until: 900, note: "" },
      },
      ifMatch: (await server.ask("GET", "/plan")).etag,
    });
    expect(held.status).toBe(201);
    return held.body.id;
  };
  const end = async (id: string, word: "release" | "confirm") =>
    expect((await server.ask("POST", `/holds/${id}/${word}`)).status).toBe(200);
  const events = (await make()).body;
  const busy = (await make({ content: "freeBusy" })).body;
  const tentative = async () =>
    (
      Object.values(ical.sync.parseICS(await (await fetchFeed(busy.path)).text())).find(
        (part) => part?.type === "VFREEBUSY",
      ) as unknown as { freebusy: { type: string; start: Date; end: Date }[] }
    ).freebusy.flatMap(({ type, start, end: until }) =>
      type === "BUSY-TENTATIVE" ? [`${start.toISOString()} ${until.toISOString()}`] : [],
    );
  const before = await read(events.path);
  expect(before.has("H H/1")).toBe(false);
  expect(await tentative()).toEqual([]);

  const first = await hold();
  const held = (await read(events.path)).get("H H/1")!;
  expect(held).toMatchObject({ status: "TENTATIVE", sequence: 0 });
  expect(held.start.toISOString()).toBe("2026-06-08T10:00:00.000Z");
  expect(await tentative()).toEqual(["2026-06-08T10:00:00.000Z 2026-06-08T11:00:00.000Z"]);
  expect((await read(events.path)).get("P P/1")).toEqual(before.get("P P/1"));

  await end(first, "release");
  expect((await read(events.path)).get("H H/1")).toMatchObject({ uid: held.uid, status: "CANCELLED", sequence: 1 });
  expect(await tentative()).toEqual([]);

  await end(await hold(), "confirm");
  expect((await read(events.path)).get("H H/1")).toMatchObject({ uid: held.uid, status: "TENTATIVE", sequence: 2 });
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("POST", "/plan/publish", { body: { note: "" }, ifMatch: etag })).status).toBe(201);
  expect((await read(events.path)).get("H H/1")).toMatchObject({ uid: held.uid, status: "CONFIRMED", sequence: 3 });
  expect(await tentative()).toEqual([]);
});

test("readings of one address are counted", async () => {
  const { path } = (await make()).body;
  // Many at once, so that enough fall into one minute on a busy machine too.
  const many = () => Promise.all(Array.from({ length: 60 }, async () => (await fetchFeed(path)).status));
  const seen = new Set<number>();
  for (let i = 0; i < 6 && !seen.has(429); i++) for (const status of await many()) seen.add(status);
  expect([...seen].sort()).toEqual([200, 429]);
});
