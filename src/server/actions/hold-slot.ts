/**
 * Holding a slot: an order stands in the book and in the draft, pinned where it was promised, until a minute. Somebody confirms it
 * (it becomes an order like any other) or releases it; nobody does, and it frees itself: what was pinned is lifted, its lots leave
 * the draft, and an order that the hold brought into the book leaves it. Nothing else in the draft moves. Each end happens once,
 * however often it is asked for. Undo moves the plan alone; the way back from a hold is to release it.
 */
import type { HeldSlot, HoldInput, HoldView } from "../../contract/api/hold.ts";
import type { OrderInStep, ShopEdit } from "../../contract/api/step.ts";
import { check } from "../../core/check/checker.ts";
import { hasBegun } from "../../core/orders/operation.ts";
import type { OrderId } from "../../core/orders/order.ts";
import { newConflicts } from "../../core/plan/new-conflicts.ts";
import { orderCompletions } from "../../core/plan/plan-difference.ts";
import { slotPins } from "../../core/plan/promise.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { record } from "../store/audit.ts";
import { addHold, endedHolds, endHold, type HoldEnd, type HoldRow, heldSlots, holdsDue, readHold } from "../store/hold-store.ts";
import { linksInto, readOrder, type StoredOrder } from "../store/order-store.ts";
import { addDraft } from "../store/plan-store.ts";
import { ensureSite } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import { inWords } from "./dates.ts";
import { changeDraft, editsOf, type Locked, meaninglessIn } from "./edit-draft.ts";
import { fitPlan } from "./fit-plan.ts";
import type { Office } from "./planning-state.ts";
import { type Expected, noSuch, Refused } from "./refused.ts";
import { tryEdits } from "./shop-edits.ts";
import { minuteOfNow } from "./shop-file.ts";

/** Who ends holds that nobody ended. */
const CLOCK: Actor = { id: "", name: "Slotwright", role: "planner" };
/** Ended holds that the list shows. */
const ENDED_SHOWN = 50;

export async function holdSlot(office: Office, actor: Actor, input: HoldInput, expected: Expected): Promise<HoldView> {
  let made: HoldRow | null = null;
  await changeDraft(office, expected, async (locked) => {
    const { store, state } = locked;
    const { now } = state.problem;
    if (input.until <= now)
      throw new Refused("invalid", "A slot can only be held until a moment that is still to come.", [
        { pointer: "/until", message: `expected a minute after ${now}` },
      ]);
    const id = typeof input.order === "string" ? input.order : input.order.id;
    const before = await readOrder(store, id);
    if (typeof input.order === "string" && !before) throw noSuch("order", id);
    if (typeof input.order !== "string" && before)
      throw new Refused("conflict", `There is an order "${id}" already; hold its slot by its id.`, [
        { pointer: "/order/id", message: "is taken" },
      ]);
    if ((await heldSlots(store)).some((hold) => hold.order === id))
      throw new Refused("conflict", `A slot is held for the order "${id}" already. Release it first.`);
    const body = typeof input.order === "string" ? await bodyOf(store, before as StoredOrder) : input.order;

    const { problem } = await editsOf(office, locked, actor, (shop) => tryEdits(shop, [{ kind: "orders", id, after: body }]));
    const plan = fitted(problem, input.plan);
    refuseUnfit(problem, state.plan, plan, id);
    const pins = new Map(slotPins(problem, plan, id).map(({ operation, pin }) => [operation, pin]));
    const pinned: OrderInStep = {
      ...body,
      operations: body.operations.map((operation) => {
        const pin = pins.get(operation.id);
        return pin ? { ...operation, pin: { machines: pin.machines ? [...pin.machines] : null, start: pin.start } } : operation;
      }),
    };
    await write(office, locked, actor, [{ kind: "orders", id, after: pinned }]);
    made = await addHold(store, {
      order: id,
      until: input.until,
      purpose: input.purpose,
      note: input.note,
      heldBy: actor.name,
      heldAt: office.clock(),
      keepsOrder: before !== null,
      pinsBefore: body.operations.map(({ id: operation, pin }) => ({ operation, pin: pin ?? null })),
    });
    const until = inWords(problem, input.until);
    await record(store, actor.name, "held", `order ${id}`, { until: input.until, purpose: input.purpose, note: input.note });
    return append(locked, plan, `Slot held for ${id} until ${until}`, actor);
  });
  return holdView(made as HoldRow | null);
}

/** The order becomes one like any other: it stays where it lies, and may move again. */
export const confirmHold = (office: Office, actor: Actor, id: string): Promise<HoldView> =>
  end(office, actor, id, "confirmed").then(({ hold }) => hold);

export const releaseHold = (office: Office, actor: Actor, id: string): Promise<HoldView> =>
  end(office, actor, id, "released").then(({ hold }) => hold);

/** Frees every slot whose minute has come; says which orders. One that fails holds no other up. */
export async function expireHolds(office: Office, onError: (error: unknown) => void): Promise<readonly OrderId[]> {
  const site = await ensureSite(office.store, office.clock());
  const freed: OrderId[] = [];
  for (const id of await holdsDue(office.store, minuteOfNow(site, office.clock()))) {
    try {
      const { hold, here } = await end(office, CLOCK, id, "expired");
      if (here && hold.state === "expired") freed.push(hold.order);
    } catch (error) {
      onError(error);
    }
  }
  return freed;
}

/** `here`: by this very call. */
async function end(office: Office, actor: Actor, id: string, wanted: HoldEnd): Promise<{ hold: HoldView; here: boolean }> {
  const known = await readHold(office.store, id);
  if (!known) throw noSuch("hold", id);
  if (known.state !== "held") return { hold: alreadyEnded(holdView(known), wanted), here: false };
  let ended: HoldView | null = null;
  let here = false;
  await changeDraft(office, "unasked", async (locked) => {
    const { store, state } = locked;
    const own = state.problem.operations.filter(({ order }) => order === known.order);
    const begun = own.some(({ progress }) => hasBegun(progress));
    // What has begun is kept: nobody takes work off a machine because a date on paper has passed.
    const as = wanted === "expired" && begun ? "confirmed" : wanted;
    if (as === "released" && begun)
      throw new Refused(
        "conflict",
        `Work of the order "${known.order}" has begun, so its slot cannot be freed. Confirm it instead.`,
      );
    if (!(await endHold(store, id, { state: as, by: actor.name, at: office.clock() }))) {
      ended = alreadyEnded(holdView(await readHold(store, id)), wanted);
      return state.draft.number;
    }
    here = true;
    const stored = await readOrder(store, known.order);
    const plan = await free(office, locked, actor, known, stored, as);
    await record(store, actor.name, as, `hold of order ${known.order}`, { until: known.until, note: known.note });
    ended = holdView(await readHold(store, id));
    if (plan === null) return state.draft.number;
    const why = as === "expired" ? "nobody confirmed it in time" : "released";
    return append(locked, plan, `Slot of ${known.order} freed: ${why}`, actor);
  });
  return { hold: holdView(ended), here };
}

/** Lifts the hold's pins and, unless it is confirmed, takes the work out; the draft without it, or null where it stays. */
async function free(
  office: Office,
  locked: Locked,
  actor: Actor,
  hold: HoldRow,
  stored: StoredOrder | null,
  as: HoldEnd,
): Promise<Plan | null> {
  const { store, state } = locked;
  if (!stored) return null;
  const body = await bodyOf(store, stored);
  const pins = new Map(hold.pinsBefore.map(({ operation, pin }) => [operation, pin]));
  const lifted: ShopEdit = {
    kind: "orders",
    id: hold.order,
    after: {
      ...body,
      operations: body.operations.map((operation) => ({ ...operation, pin: pins.get(operation.id) ?? null })),
    },
  };
  if (as === "confirmed") {
    await write(office, locked, actor, [lifted]);
    return null;
  }
  const own = new Set(stored.operations.map((operation) => operation.id));
  const plan = { operations: state.plan.operations.filter(({ operation }) => !own.has(operation)) };
  // An order that another one is linked to meanwhile stays in the book; only its slot is free.
  const neededBy = state.problem.links.some(({ from, to }) => own.has(from) && !own.has(to));
  const leaves = !hold.keepsOrder && !neededBy;
  await write(office, locked, actor, [leaves ? { kind: "orders", id: hold.order, after: null } : lifted]);
  return plan;
}

const write = async (office: Office, locked: Locked, actor: Actor, edits: readonly ShopEdit[]): Promise<void> =>
  void (await (await editsOf(office, locked, actor, (shop) => tryEdits(shop, edits))).write());

const append = ({ store, state }: Locked, plan: Plan, note: string, actor: Actor): Promise<number> =>
  addDraft(store, { previous: state.draft.number, plan, note, author: actor.name, basedOn: state.draft.basedOn });

async function bodyOf(store: Store, { revision: _revision, operations, ...order }: StoredOrder): Promise<OrderInStep> {
  return {
    ...order,
    operations: operations.map(({ reported: _reported, ...operation }) => operation),
    ...(await linksInto(store, order.id)),
  };
}

/** The clock went on since the plan was looked at: what runs goes on from now. */
function fitted(problem: Problem, plan: Plan): Plan {
  const faults = meaninglessIn(problem, plan);
  if (faults.length > 0) throw new Refused("invalid", faults[0]?.message ?? "", faults);
  return fitPlan(problem, plan);
}

/** The plan must hold the whole order and bring no conflict that the draft had not. */
function refuseUnfit(problem: Problem, before: Plan, plan: Plan, order: OrderId): void {
  if ((orderCompletions(problem, plan).get(order) ?? null) === null)
    throw new Refused("invalid", `The plan does not hold all work of the order "${order}".`, [
      { pointer: "/plan/operations", message: `expected every operation of ${order}` },
    ]);
  const [added] = newConflicts(check(problem, before).conflicts, check(problem, plan).conflicts);
  if (added) throw new Refused("conflict", `The slot does not hold: ${added.sentence}`);
}

function alreadyEnded(hold: HoldView, wanted: HoldEnd): HoldView {
  if (hold.state === wanted || wanted === "expired") return hold;
  const said = { held: "is held", confirmed: "was confirmed", expired: "has run out", released: "was released" }[hold.state];
  throw new Refused("conflict", `The slot of order "${hold.order}" ${said} already.`);
}

function holdView(hold: HoldView | HoldRow | null): HoldView {
  if (!hold) throw new Error("the hold vanished while it was changed");
  const { pinsBefore: _pins, ...view } = hold as HoldRow;
  return view;
}

/** Held ones first, then the latest that ended. */
export async function listHolds(office: Office): Promise<{ items: HoldView[] }> {
  const rows = [...(await heldSlots(office.store)), ...(await endedHolds(office.store, ENDED_SHOWN))];
  return { items: rows.map(holdView) };
}

export const slotsHeld = async (store: Store): Promise<HeldSlot[]> =>
  (await heldSlots(store)).map(({ id, order, until, heldBy, purpose, note }) => ({ id, order, until, heldBy, purpose, note }));
