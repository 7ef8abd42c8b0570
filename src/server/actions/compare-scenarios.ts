/** Scenarios and the draft on the same measures. A scenario whose changed shop does not hold together gets a column that says so. */
import {
  COMPARED_MOST,
  type ScenarioColumn,
  type ScenarioComparison,
  type ScenarioMeasures,
} from "../../contract/api/scenario.ts";
import { hasRates, moneyOf } from "../../core/scenario/money.ts";
import { type Column, type Side, sideBySide } from "../../core/scenario/side-by-side.ts";
import { type Office, planningState } from "./planning-state.ts";
import { Refused } from "./refused.ts";
import { scenarioState } from "./scenario-state.ts";
import { setting } from "./settings.ts";

/** Load is counted so far ahead. */
const LOAD_AHEAD = 28 * 1440;
const MOVED_SHOWN = 300;
const ORDERS_SHOWN = 200;

export async function compareScenarios(office: Office, ids: readonly string[]): Promise<ScenarioComparison> {
  const wanted = [...new Set(ids)].slice(0, COMPARED_MOST);
  const { problem, plan, draft } = await planningState(office);
  const first: Side = { problem, plan };
  const entries = await Promise.all(wanted.map((id) => entryOf(office, id)));
  const sides = entries.flatMap(({ side }) => side ?? []);
  const until = Math.min(problem.now + LOAD_AHEAD, problem.horizon);
  const { columns, orders } = sideBySide(first, sides, until);
  const rates = await setting(office.store, "rates");
  const priced = hasRates(rates);
  const moneyFor = (side: Side) => (priced ? moneyOf(rates, problem, side.problem, side.plan) : null);
  const left = columns.slice(1);
  const shown = entries.map(({ id, name, side, fault }): ScenarioColumn => {
    const column = side === null ? undefined : left.shift();
    return side === null || column === undefined ? brokenColumn(id, name, fault) : columnOf(id, name, column, moneyFor(side));
  });
  // Where a column is broken, its orders are empty, so that sides and columns agree.
  const withGaps = <T>(list: readonly T[], gap: T): T[] => {
    const rest = list.slice(1);
    return [list[0] as T, ...entries.map(({ side }) => (side === null ? gap : (rest.shift() as T)))];
  };
  const machines = new Map([first, ...sides].flatMap((side) => side.problem.machines.map(({ id, name }) => [id, name] as const)));
  return {
    draftRevision: draft.number,
    from: problem.now,
    until,
    currency: priced ? rates.currency : null,
    machines: [...machines].map(([id, name]) => ({ id, name })),
    columns: [columnOf(null, "", columns[0] as Column, moneyFor(first)), ...shown],
    orders: orders
      .slice(0, ORDERS_SHOWN)
      .map((row) => ({ ...row, sides: withGaps([...row.sides], { due: null, end: null, late: 0 }) })),
    ordersCount: orders.length,
  };
}

type Entry = { readonly id: string; readonly name: string; readonly side: Side | null; readonly fault: string };

async function entryOf(office: Office, id: string): Promise<Entry> {
  try {
    const { row, problem, plan } = await scenarioState(office, id);
    return { id, name: row.name, side: { problem, plan }, fault: "" };
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal !== "invalid") throw error;
    return { id, name: "", side: null, fault: error.message };
  }
}

const brokenColumn = (id: string, name: string, fault: string): ScenarioColumn => ({
  ...{ id, name, fault, measures: null, load: [], money: null, moved: [], movedCount: 0 },
});

function columnOf(id: string | null, name: string, column: Column, money: ScenarioColumn["money"]): ScenarioColumn {
  return {
    id,
    name,
    fault: null,
    measures: measuresOf(column),
    load: column.load.map((load) => ({ ...load })),
    money,
    moved: column.moved.slice(0, MOVED_SHOWN) as ScenarioColumn["moved"],
    movedCount: column.moved.length,
  };
}

const measuresOf = ({ measures, overtime }: Column): ScenarioMeasures => ({
  conflicts: measures.conflicts,
  notPlanned: measures.notPlanned,
  lateOrders: measures.lateOrders,
  lateMinutes: measures.lateMinutes,
  end: measures.end,
  disturbance: measures.cost.parts.disturbance,
  setups: measures.setups,
  setupMinutes: measures.setupMinutes,
  waitingMinutes: measures.waitingMinutes,
  nightMinutes: measures.unattendedNightMinutes,
  unsocialPersonMinutes: measures.unsocialPersonMinutes,
  addedPersonMinutes: overtime.addedPersonMinutes,
  workedPersonMinutes: overtime.workedPersonMinutes,
  addedMachineMinutes: overtime.addedMachineMinutes,
  cost: measures.cost.total,
});
