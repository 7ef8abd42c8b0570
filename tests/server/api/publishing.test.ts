/**
 * Publishing with care: cautions that need a name, checklists of the shop's own, proposals and who decides them, and looking back at
 * versions. Over HTTP on a real database, on a workshop planned by hand: one dyno that draws DC and runs on alone over night.
 */
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { CautionView } from "../../../src/contract/api/caution.ts";
import type { DraftAnswer, PlanView, PublishCheck, VersionView } from "../../../src/contract/api/plan.ts";
import type { ProposalHead, ProposalView } from "../../../src/contract/api/proposal.ts";
import type { Role } from "../../../src/contract/api/role.ts";
import type { VersionComparison, VersionPlan } from "../../../src/contract/api/version.ts";
import type { ProblemFileInput } from "../../../src/contract/problem-file.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { at, goodPlan, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer();
});
afterAll(() => server.close());

/** 30 min attended, 15 h alone from 07:30 on (the site is empty from 15:00), 30 min attended on Tuesday. */
function rigWorkshop(): ProblemFileInput {
  const shop = smallWorkshop();
  const attended = {
    flow: "solid" as const,
    work: { kind: "fixed" as const, minutes: 30 },
    needs: [{ skill: "mill", amount: 50 }],
  };
  return {
    ...shop,
    machines: [
      ...(shop.machines ?? []),
      { id: "dyno", name: "Dyno 1", kind: "rig", group: "Rigs", calendar: null, unattended: { kind: "allowed" } },
    ],
    crews: [{ id: "millers", name: "Millers", skills: ["mill"], calendar: "days", people: 200 }],
    supplies: [{ id: "dc", name: "DC supply", unit: "kW", amount: 100 }],
    orders: [
      ...(shop.orders ?? []),
      {
        id: "T",
        name: "Endurance",
        kind: "campaign",
        due: 10_000,
        operations: [
          {
            id: "T/1",
            name: "Endurance run",
            modes: [
              {
                id: "dyno",
                machines: ["dyno"],
                phases: [
                  { kind: "prepare", ...attended },
                  { kind: "run", flow: "solid", work: { kind: "fixed", minutes: 900 }, draws: [{ supply: "dc", amount: 40 }] },
                  { kind: "clear", ...attended },
                ],
              },
            ],
          },
        ],
      },
    ],
  };
}

const nightRun = {
  operation: "T/1",
  lots: [
    {
      ...{ mode: "dyno", pieces: 1, start: 420, end: 1890 },
      phases: [
        { phase: 0, work: [[420, 450]], crews: ["millers"] },
        { phase: 1, work: [[450, 1350]], crews: [] },
        { phase: 2, work: [[1860, 1890]], crews: ["millers"] },
      ],
    },
  ],
};
const riskyPlan = () => ({ operations: [...goodPlan().operations, nightRun] });
const NAMES = (ids: readonly string[]) => ids.map((caution) => ({ caution, by: "R. Falk" }));
const ALL = NAMES(["unattended", "high-voltage", "rotating"]);

const etag = async (as?: Role) => (await server.ask("GET", "/plan", as ? { as } : {})).etag;
async function edit(plan: unknown, as?: Role): Promise<DraftAnswer> {
  const reply = await server.ask<DraftAnswer>("PUT", "/plan/draft", {
    body: { plan, note: "by hand" },
    ifMatch: await etag(as),
    ...(as ? { as } : {}),
  });
  expect(reply.status, JSON.stringify(reply.body)).toBe(200);
  return reply.body;
}
const publish = async <T = VersionView>(body: object, as?: Role) =>
  server.ask<T>("POST", "/plan/publish", { body: { note: "", ...body }, ifMatch: await etag(as), ...(as ? { as } : {}) });
const load = async (shop: unknown, as?: Role): Promise<void> => {
  expect((await server.ask("PUT", "/shop?replace=true", { body: shop, ...(as ? { as } : {}) })).status).toBe(200);
};
type Audit = { items: { actor: string; action: string; subject: string; detail: Record<string, unknown> }[] };

describe("cautions", () => {
  beforeEach(() => load(rigWorkshop()));

  test("publishing is refused until each caution of the draft has a name, and says which", async () => {
    const draft = await edit(riskyPlan());
    expect(draft.check.conflicts).toEqual([]);
    const check = (await server.ask<PublishCheck>("GET", "/plan/changes")).body;
    expect(check.cautions.map(({ id, operations }) => [id, operations])).toEqual([
      ["unattended", ["T/1"]],
      ["high-voltage", ["T/1"]],
      ["rotating", ["T/1"]],
    ]);
    const before = (await server.ask<{ total: number }>("GET", "/plan/versions")).body.total;
    const refused = await publish<{ detail: string }>({});
    expect(refused.status).toBe(409);
    expect(refused.body.detail).toMatch(/Machines running with nobody on site.*High voltage.*Rotating rigs/s);
    expect(refused.body.detail).toMatch(/does not say that this work is safe/);
    const half = await publish<{ detail: string }>({ cautions: NAMES(["unattended", "rotating"]) });
    expect([half.status, /High voltage/.test(half.body.detail), /Rotating/.test(half.body.detail)]).toEqual([409, true, false]);
    const strange = await publish<{ faults: { pointer: string }[] }>({ cautions: [...ALL, { caution: "magic", by: "R. Falk" }] });
    expect([strange.status, strange.body.faults[0]?.pointer]).toEqual([422, "/cautions/3/caution"]);
    const nameless = await publish<{ faults: { pointer: string }[] }>({ cautions: [{ caution: "unattended", by: "  " }] });
    expect([nameless.status, nameless.body.faults[0]?.pointer]).toEqual([422, "/cautions/0/by"]);
    const stale = await publish({ cautions: ALL.map((each) => ({ ...each, items: ["an older list"] })) });
    expect(stale.status).toBe(409);
    expect((await server.ask<{ total: number }>("GET", "/plan/versions")).body.total).toBe(before);

    const version = await publish({ note: "night run", cautions: ALL });
    expect(version.status).toBe(201);
    expect(version.body.cautions.map(({ id, by, operations }) => [id, by, operations])).toEqual([
      ["unattended", "R. Falk", ["T/1"]],
      ["high-voltage", "R. Falk", ["T/1"]],
      ["rotating", "R. Falk", ["T/1"]],
    ]);
    const trail = (await server.ask<Audit>("GET", `/audit?subject=version ${version.body.version}`)).body.items[0];
    expect(trail).toMatchObject({ action: "published", actor: "Demo planner" });
    const kept = trail?.detail.cautions as CautionView[];
    expect(kept.map(({ id }) => id)).toEqual(["unattended", "high-voltage", "rotating"]);
    expect(kept[0]?.items).toEqual(check.cautions[0]?.items);
  });

  test("a plan without such work asks nothing", async () => {
    await edit(goodPlan());
    expect((await server.ask<PublishCheck>("GET", "/plan/changes")).body.cautions).toEqual([]);
    expect((await publish({ acknowledgedBy: "R. Falk" })).status).toBe(201);
  });

  test("so does a start: of that work with names, of other work without", async () => {
    await edit(riskyPlan());
    expect((await publish({ cautions: ALL })).status).toBe(201);
    const asked = (await server.ask<{ items: CautionView[] }>("GET", "/plan/cautions?operation=T/1")).body.items;
    expect(asked.map(({ id }) => id)).toEqual(["unattended", "high-voltage", "rotating"]);
    expect((await server.ask<{ items: [] }>("GET", "/plan/cautions?operation=P/1")).body.items).toEqual([]);
    const start = (body: object) =>
      server.ask<{ detail: string }>("POST", "/plan/progress", { body: { kind: "started", ...body } });
    expect((await start({ operation: "P/1" })).status).toBe(200);
    const refused = await start({ operation: "T/1" });
    expect(refused.status).toBe(409);
    expect(refused.body.detail).toMatch(/Endurance run holds work that needs care/);
    expect((await start({ operation: "T/1", cautions: ALL.slice(1) })).status).toBe(409);
    expect((await start({ operation: "T/1", cautions: ALL })).status).toBe(200);
    const trail = (await server.ask<Audit>("GET", "/audit?subject=operation T/1")).body.items[0];
    expect((trail?.detail.cautions as { by: string }[] | undefined)?.map(({ by }) => by)).toEqual([
      "R. Falk",
      "R. Falk",
      "R. Falk",
    ]);
  });

  test("the shop writes its own checklists, and only about what it has", async () => {
    const proposed = (await server.ask<{ rules: object[] }>("GET", "/settings/cautions/proposed")).body.rules;
    expect(proposed).toHaveLength(3); // no wire-cut machine here
    const own = { id: "cell", title: "Test cell", alone: false, machines: ["dyno"], supplies: [], items: ["Cell 1 is closed."] };
    const put = (rules: unknown, ifMatch?: string | null) =>
      server.ask<{ faults: { pointer: string }[] }>("PUT", "/settings/cautions", { body: { rules }, ifMatch: ifMatch ?? null });
    const wrong = await put([own, { ...own, id: "gone", machines: ["lathe"] }]);
    expect([wrong.status, wrong.body.faults[0]?.pointer]).toEqual([422, "/rules/1/machines/0"]);
    expect((await put([{ ...own, machines: [] }])).status).toBe(422);
    expect((await put([own, own])).status).toBe(422);
    const first = await put([own]);
    expect([first.status, first.etag]).toEqual([200, '"1"']);
    expect((await put([])).status).toBe(428);
    await edit(riskyPlan());
    const cautions = (await server.ask<PublishCheck>("GET", "/plan/changes")).body.cautions;
    expect(cautions.map(({ id, items }) => [id, items])).toEqual([["cell", ["Cell 1 is closed."]]]);
    expect((await put([{ ...own, items: ["Cell 1 is closed and posted."] }], first.etag)).status).toBe(200);
    const read = cautions.map(({ id, items }) => ({ caution: id, by: "R. Falk", items }));
    expect((await publish({ cautions: read })).status).toBe(409); // the list was changed after it was read
    expect((await publish({ cautions: [{ ...read[0], items: ["Cell 1 is closed and posted."] }] })).status).toBe(201);
  });
});

describe("looking back", () => {
  beforeEach(() => load(smallWorkshop()));

  test("a version is shown on the shop as it stood then, and any two are compared", async () => {
    await edit(goodPlan());
    const one = (await publish({ note: "first" })).body.version;
    // The shop goes on: Q loses its place and a machine gets another name.
    const { etag: tag, body } = await server.ask<object>("GET", "/machines/mill-a");
    expect((await server.ask("PUT", "/machines/mill-a", { body: { ...body, name: "Mill A, moved" }, ifMatch: tag })).status).toBe(
      200,
    );
    await edit({
      operations: [...goodPlan().operations.filter(({ operation }) => operation !== "Q/1"), at("Q/1", "mill-a", 2_000)],
    });
    const two = (await publish({ note: "second" })).body.version;
    await edit({
      operations: [...goodPlan().operations.filter(({ operation }) => operation !== "Q/1"), at("Q/1", "mill-a", 600)],
    });

    const then = (await server.ask<VersionPlan>("GET", `/plan/versions/${one}/board`)).body;
    expect(then.kept).toBe(true);
    expect(then.problem.machines.map(({ name }) => name)).toEqual(["Mill A", "Mill B"]);
    expect(then.plan.operations).toHaveLength(4);
    expect(then.check.conflicts).toEqual([]);
    const later = (await server.ask<VersionPlan>("GET", `/plan/versions/${two}/board`)).body;
    expect(later.problem.machines[0]?.name).toBe("Mill A, moved");

    const against = async (a: number, b: number | "draft") =>
      (await server.ask<VersionComparison>("GET", `/plan/versions/${a}/against/${b}`)).body;
    const forth = await against(one, two);
    expect(forth.first).toMatchObject({ version: one, note: "first", measures: { lateOrders: 0, conflicts: 0 } });
    expect(forth.second).toMatchObject({ version: two, measures: { lateOrders: 1, lateMinutes: 60 } });
    expect(forth.changes.machines.flatMap(({ changes }) => changes.map(({ operation }) => operation))).toEqual(["Q/1", "Q/1"]);
    expect(forth.orders).toEqual([{ order: "Q", name: "Order Q", due: 2_000, ends: [480, 2_060], moved: 1_580 }]);
    const back = await against(two, one);
    expect(back.orders[0]?.moved).toBe(-1_580);
    const draft = await against(two, "draft");
    expect(draft.second.version).toBeNull();
    expect(draft.orders[0]).toMatchObject({ order: "Q", moved: -1_400 });
    expect((await server.ask("GET", `/plan/versions/${one}/against/${two + 50}`)).status).toBe(404);
  });

  test("what was done between two versions is no change", async () => {
    await edit(goodPlan());
    const one = (await publish({})).body.version;
    expect((await server.ask("POST", "/plan/progress", { body: { kind: "started", operation: "P/1" } })).status).toBe(200);
    const { body: site, etag: tag } = await server.ask<Record<string, unknown>>("GET", "/site");
    const { now: _now, origin: _origin, ...rest } = site;
    expect((await server.ask("PUT", "/site", { body: { ...rest, clock: 480 }, ifMatch: tag })).status).toBe(200);
    expect((await server.ask("POST", "/plan/progress", { body: { kind: "done", operation: "P/1" } })).status).toBe(200);
    const { draft } = (await server.ask<PlanView>("GET", "/plan")).body;
    const two = await publish({ acknowledgedBy: "R. Falk" });
    expect(two.status).toBe(201);
    expect(draft.plan.operations.map(({ operation }) => operation)).not.toContain("P/1");
    const { body } = await server.ask<VersionComparison>("GET", `/plan/versions/${one}/against/${two.body.version}`);
    expect(body).toMatchObject({ doneBetween: 1, gone: [], changes: { changed: 0 } });
  });
});

describe("proposals, with people", () => {
  beforeAll(() => server.people());
  const settle = async (publishers: string, as: Role = "administrator") => {
    const { etag: tag } = await server.ask("GET", "/settings/publishing", { as });
    return (await server.ask("PUT", "/settings/publishing", { body: { publishers }, ifMatch: tag, as })).status;
  };
  beforeEach(async () => {
    await load(smallWorkshop(), "administrator");
    expect(await settle("planners")).toBe(200);
  });
  const propose = async (as: Role, note: string) =>
    server.ask<ProposalView>("POST", "/plan/proposals", { body: { note }, ifMatch: await etag(as), as });
  const decide = (id: number, body: object, as: Role) => server.ask("POST", `/plan/proposals/${id}/decision`, { body, as });
  const list = async () => (await server.ask<{ items: ProposalHead[] }>("GET", "/plan/proposals", { as: "viewer" })).body.items;

  test("where only administrators publish, a planner proposes and an administrator publishes just that", async () => {
    expect(await settle("administrators", "planner")).toBe(403); // not theirs to settle
    expect(await settle("administrators")).toBe(200);
    await edit(goodPlan(), "planner");
    const refused = await publish<{ detail: string }>({}, "planner");
    expect([refused.status, /Propose the draft/.test(refused.body.detail)]).toEqual([403, true]);
    const made = await propose("planner", "Everything fits this week");
    expect(made.status).toBe(201);
    expect(made.body).toMatchObject({
      by: "The planner",
      state: "open",
      isDraft: true,
      check: { changed: 4, mayPublish: false },
    });
    expect((await propose("planner", "again")).status).toBe(409);

    await edit({ operations: goodPlan().operations.slice(1) }, "planner"); // the draft moves on
    const other = await publish({ proposal: made.body.id, acknowledgedBy: "A." }, "administrator");
    expect(other.status).toBe(409); // nobody publishes what was not reviewed
    await server.ask("POST", "/plan/draft/undo", { as: "planner" });
    const version = await publish({ proposal: made.body.id }, "administrator");
    expect(version.status).toBe(201);
    expect((await list())[0]).toMatchObject({
      state: "published",
      version: version.body.version,
      decidedBy: "The administrator",
    });
  });

  test("an operator may propose; only its maker withdraws it, only a publisher declines it, and with a reason", async () => {
    await edit(goodPlan(), "planner");
    const { id } = (await propose("operator", "Please put this in force")).body;
    expect((await decide(id, { kind: "withdraw" }, "planner")).status).toBe(403);
    expect((await decide(id, { kind: "decline", reason: "no" }, "operator")).status).toBe(403);
    expect((await decide(id, { kind: "decline", reason: " " }, "planner")).status).toBe(422);
    expect((await decide(id, { kind: "decline", reason: "P waits for the drawing" }, "planner")).status).toBe(200);
    expect((await list())[0]).toMatchObject({
      id,
      state: "declined",
      reason: "P waits for the drawing",
      decidedBy: "The planner",
    });
    expect((await decide(id, { kind: "withdraw" }, "operator")).status).toBe(409);

    const second = (await propose("operator", "Now?")).body.id;
    await edit({ operations: [...goodPlan().operations.slice(1), at("P/1", "mill-a", 600)] }, "planner");
    expect((await publish({}, "planner")).status).toBe(201);
    expect((await list()).find((each) => each.id === second)?.state).toBe("overtaken");
  });
});
