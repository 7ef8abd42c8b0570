/**
 * The queue of unsent edits: it sends in the name of who made them and of nobody else, also where several people share a browser, and
 * what it gives the board is always one reading: a plan with the problem it was planned for.
 */
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { PlanView } from "../../src/contract/api/plan.ts";
import { check } from "../../src/core/check/checker.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import { editBetween } from "../../web/board/plan-edit.ts";
import { noteWhoIsHere } from "../../web/client/who-is-here.ts";
import { type DraftSync, startDraftSync } from "../../web/screens/plan-board/draft-sync.ts";
import { machine, operation, plan, put, run, shop } from "../core/check/shop.ts";

const problem = shop({
  machines: [machine("saw")],
  operations: ["a", "b"].map((id) => operation(id, { machines: ["saw"], phases: [run(60)] })),
});
const at = (a: number, b: number) => plan(problem, put("a", [[a, a + 60]]), put("b", [[b, b + 60]]));
const draftOf = (revision: number, planned: Plan) => ({
  draft: { revision, canUndo: true, canRedo: false, basedOn: null, plan: planned, note: "" },
  check: check(problem, planned),
});
const viewOf = (revision: number, planned: Plan, now = problem.now): PlanView =>
  ({
    problem: { ...problem, now },
    published: null,
    assumed: [],
    holds: [],
    ...draftOf(revision, planned),
  }) as unknown as PlanView;
const ADA = { id: "1", name: "Ada Brandt" };
const BEN = { id: "2", name: "Ben Okoro" };
const moveA = editBetween(at(0, 100), at(500, 100), "a to 500");

/** Plans that arrived, in order; what each is answered with is up to the test. */
let sent: Plan[];
let answer: () => Promise<Response>;
let open: DraftSync[];
const gone = (): Promise<Response> => Promise.reject(new TypeError("network"));
const taken = (): Promise<Response> => Promise.resolve(Response.json(draftOf(8 + sent.length, sent.at(-1) as Plan)));

beforeEach(() => {
  localStorage.clear();
  sent = [];
  open = [];
  answer = gone;
  vi.stubGlobal("fetch", (_address: string, { body }: { body: string }) => {
    const reply = answer;
    if (reply !== gone) sent.push((JSON.parse(body) as { plan: Plan }).plan);
    return reply();
  });
});
afterEach(() => {
  for (const sync of open) sync.close();
  vi.unstubAllGlobals();
});

function begin(me: typeof ADA, view = viewOf(8, at(0, 100))): DraftSync {
  noteWhoIsHere(me.id);
  const sync = startDraftSync(
    view,
    me,
    () => undefined,
    (next) => next,
  );
  open.push(sync);
  return sync;
}
const startOfA = (planned: Plan): number | undefined =>
  planned.operations.find(({ operation: id }) => id === "a")?.lots[0]?.start;

test("an edit that one person left unsent is shown to the next and goes out when its maker is back", async () => {
  const first = begin(ADA);
  first.add(moveA);
  await expect.poll(() => first.offline()).toBe(true);
  first.close();

  answer = taken;
  const second = begin(BEN);
  expect([second.unsent(), startOfA(second.plan())]).toEqual([0, 0]);
  expect(second.aside().map(({ aside, edit }) => [aside, edit.note])).toEqual([
    [{ kind: "ofAnother", name: "Ada Brandt" }, "a to 500"],
  ]);
  second.add(editBetween(at(0, 100), at(0, 900), "b to 900"));
  await expect.poll(() => second.unsent()).toBe(0);
  expect(sent.map(startOfA)).toEqual([0]);
  second.close();

  const back = begin(ADA, viewOf(9, at(0, 900)));
  await expect.poll(() => back.unsent()).toBe(0);
  expect([sent.map(startOfA), back.aside(), begin(BEN).aside()]).toEqual([[0, 500], [], []]);
});

test("the next person may put it in, in their own name; then it is nobody else's any more", async () => {
  const first = begin(ADA);
  first.add(moveA);
  first.close();
  answer = taken;
  const second = begin(BEN);
  second.putIn(second.aside()[0]?.id ?? "");
  await expect.poll(() => second.unsent()).toBe(0);
  expect([sent.map(startOfA), begin(ADA).unsent(), localStorage.length]).toEqual([[500], 0, 1]);
});

test("a window left open by one person sends nothing once somebody else is signed in in another", async () => {
  const left = begin(ADA);
  left.add(moveA);
  await expect.poll(() => left.offline()).toBe(true);
  answer = taken;
  noteWhoIsHere(BEN.id);
  window.dispatchEvent(new Event("online"));
  await new Promise((resolve) => setTimeout(resolve, 0));
  expect([sent, left.unsent()]).toEqual([[], 1]);
  noteWhoIsHere(ADA.id);
  window.dispatchEvent(new Event("online"));
  await expect.poll(() => left.unsent()).toBe(0);
  expect(sent.map(startOfA)).toEqual([500]);
});

test("a newer reading waits until what is being sent is answered: plan and problem stay of one time", async () => {
  const sync = begin(ADA);
  let reply: (response: Response) => void = () => undefined;
  answer = () => new Promise((resolve) => (reply = resolve));
  sync.add(moveA);
  await expect.poll(() => sent.length).toBe(1);
  sync.read(viewOf(8, at(0, 700), 30));
  expect([sync.base().problem.now, startOfA(sync.plan())]).toEqual([0, 500]);
  reply(Response.json(draftOf(9, at(500, 700))));
  await expect.poll(() => sync.unsent()).toBe(0);
  expect([sync.base().problem.now, sync.base().draft.revision, startOfA(sync.plan())]).toEqual([30, 9, 500]);

  // Where no answer comes, the newer reading is taken all the same.
  sync.add(editBetween(at(500, 700), at(600, 700), "a to 600"));
  await expect.poll(() => sent.length).toBe(2);
  sync.read(viewOf(10, at(500, 990), 60));
  answer = gone;
  reply(new Response(null, { status: 503 }));
  await expect.poll(() => sync.base().problem.now).toBe(60);
  expect([startOfA(sync.plan()), sync.plan().operations.find(({ operation: id }) => id === "b")?.lots[0]?.start]).toEqual([
    600, 990,
  ]);
});
