/**
 * Makes the orders that upkeep rules ask for. Each is an ordinary maintenance order without a place in the plan: whoever plans
 * sees it there, and no pin or plan is touched. Once for each occasion: what a person removed stays away until somebody asks
 * for it again. A rule that cannot be followed (its skill or machine is gone) is named; the others go on.
 */
import { type OrderBody, orderBodySchema } from "../../contract/api/order.ts";
import type { UpkeepInput, UpkeepMade, UpkeepRuleInFile, UpkeepView } from "../../contract/api/upkeep.ts";
import { type UpkeepTask, upkeepTasks } from "../../core/plan/upkeep.ts";
import { listPlant } from "../store/plant-store.ts";
import { ensureSite, lockSite } from "../store/site-store.ts";
import { listUpkeepTasks, saveUpkeepTask, type UpkeepTaskRow } from "../store/upkeep-store.ts";
import type { Actor } from "./actor.ts";
import { saveOrder, savePlant } from "./edit-shop.ts";
import { emptyMemory, type Office, planningState } from "./planning-state.ts";
import { noSuch, Refused } from "./refused.ts";

/** The worker's name in the audit trail. */
export const UPKEEP_ACTOR: Actor = { id: "upkeep", name: "Upkeep rules", role: "planner" };

const keyOf = (rule: string, occasion: string): string => JSON.stringify([rule, occasion]);
const rulesOf = async (office: Office): Promise<readonly UpkeepRuleInFile[]> =>
  (await listPlant(office.store, "upkeep-rules")).map(({ body }) => body);

export async function upkeepView(office: Office): Promise<UpkeepView> {
  const { problem, plan } = await planningState(office);
  const rules = await rulesOf(office);
  const rows = await listUpkeepTasks(office.store);
  const known = new Set(rows.map((row) => keyOf(row.ruleId, row.occasion)));
  const wanted = upkeepTasks(problem, plan, rules, (rule, occasion) => known.has(keyOf(rule, occasion)), madeBy(rows));
  const orders = new Map(problem.orders.map((order) => [order.id, order]));
  return {
    rules: rules.map(({ id }) => ({
      rule: id,
      occasions: [
        ...rows
          .filter(({ ruleId }) => ruleId === id)
          .map(({ occasion, orderId }) => ({
            occasion,
            state: orders.has(orderId) ? ("made" as const) : ("removed" as const),
            order: orderId,
            due: orders.get(orderId)?.due ?? null,
          })),
        ...wanted
          .filter(({ rule }) => rule === id)
          .map((task) => ({ occasion: task.occasion, state: "due" as const, order: orderIdOf(task), due: task.due })),
      ],
    })),
  };
}

export async function raiseUpkeep(office: Office, actor: Actor, input: UpkeepInput): Promise<UpkeepMade> {
  if (input.again && input.rule === null)
    throw new Refused("invalid", "Name the rule whose removed orders are to be made again.", [
      { pointer: "/rule", message: "expected the id of an upkeep rule" },
    ]);
  await ensureSite(office.store, office.clock());
  const wanted = await tasksOf(office, input);
  const made: UpkeepMade["made"] = [];
  const failed: UpkeepMade["failed"] = [];
  for (const { rule, task } of wanted) {
    const where = { rule: rule.id, occasion: task.occasion };
    try {
      const order = await make(office, actor, rule, task, input.again);
      if (order !== null) made.push({ ...where, order });
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      failed.push({ ...where, reason: error.message });
    }
  }
  return { made, failed };
}

type Wanted = { readonly rule: UpkeepRuleInFile; readonly task: UpkeepTask };

async function tasksOf(office: Office, { rule: only, again }: UpkeepInput): Promise<readonly Wanted[]> {
  const { problem, plan } = await planningState(office);
  const rules = (await rulesOf(office)).filter(({ id }) => only === null || id === only);
  if (only !== null && rules.length === 0) throw noSuch("upkeep rule", only);
  const orders = new Set<string>(problem.orders.map(({ id }) => id));
  const rows = await listUpkeepTasks(office.store);
  const known = new Set(
    rows.filter(({ orderId }) => !again || orders.has(orderId)).map((row) => keyOf(row.ruleId, row.occasion)),
  );
  const wanted = upkeepTasks(problem, plan, rules, (rule, occasion) => known.has(keyOf(rule, occasion)), madeBy(rows));
  return wanted.flatMap((task) => {
    const rule = rules.find(({ id }) => id === task.rule);
    return rule ? [{ rule, task }] : [];
  });
}

/** The orders that each rule has made. */
const madeBy =
  (rows: readonly UpkeepTaskRow[]) =>
  (rule: string): ReadonlySet<string> =>
    new Set(rows.filter(({ ruleId }) => ruleId === rule).map(({ orderId }) => orderId));

/** One order in one transaction, behind the lock of the shop; null: somebody made it in between. */
function make(office: Office, actor: Actor, rule: UpkeepRuleInFile, task: UpkeepTask, again: boolean): Promise<string | null> {
  return office.store.inTransaction(async (store) => {
    await lockSite(store);
    const inside: Office = { ...office, store, memory: emptyMemory() };
    const rows = (await listUpkeepTasks(store)).filter(
      ({ ruleId, occasion }) => ruleId === rule.id && occasion === task.occasion,
    );
    const { problem } = await planningState(inside);
    const there = (id: string): boolean => problem.orders.some((order) => order.id === id);
    if (rows.some(({ orderId }) => !again || there(orderId))) return null;
    const order = orderOf(rule, task, freeId(orderIdOf(task), there));
    await saveOrder(inside, actor, order.id, order, null);
    const operation = order.operations[0]?.id;
    if (rule.trigger.kind === "runHours" && operation !== undefined)
      await withOperation(inside, actor, rule.trigger.rule, operation);
    await saveUpkeepTask(store, { ruleId: rule.id, occasion: task.occasion, orderId: order.id, raisedBy: actor.name });
    return order.id;
  });
}

async function withOperation(office: Office, actor: Actor, id: string, operation: string): Promise<void> {
  const counted = (await listPlant(office.store, "run-hour-rules")).find(({ body }) => body.id === id);
  if (!counted) throw noSuch("run-hour rule", id);
  const body = { ...counted.body, operations: [...counted.body.operations, operation] };
  await savePlant(office, actor, "run-hour-rules", id, body, "any");
}

const orderIdOf = ({ rule, occasion }: UpkeepTask): string => `${rule}-${occasion}`;

function freeId(wanted: string, taken: (id: string) => boolean): string {
  if (!taken(wanted)) return wanted;
  for (let i = 2; ; i++) if (!taken(`${wanted}-${i}`)) return `${wanted}-${i}`;
}

/** Attended and pausable: it waits for its people, and does not count as running. */
function orderOf(rule: UpkeepRuleInFile, task: UpkeepTask, id: string): OrderBody {
  const { title, minutes, skill, people } = rule.task;
  return orderBodySchema.parse({
    id,
    name: rule.name ?? title,
    notes: `Made by the upkeep rule "${rule.name ?? rule.id}".`,
    kind: "maintenance",
    due: task.due,
    operations: [
      {
        id: `${id}/10`,
        name: title,
        window: task.window,
        modes: [
          {
            id: rule.machine,
            machines: [rule.machine],
            phases: [{ kind: "prepare", flow: "pausable", work: { kind: "fixed", minutes }, needs: [{ skill, amount: people }] }],
          },
        ],
        calibrates: rule.trigger.kind === "calibration" ? [rule.trigger.calibration] : [],
      },
    ],
  });
}
