/**
 * The planning problem with calendars compiled: plain, immutable, JSON-serialisable data in whole minutes.
 * Built by the contract from a problem file; everything here may be trusted (ids exist, amounts are whole, tables are full).
 */
import type { Intervals } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import type { CalendarId } from "../calendar/specification.ts";
import type { Flavour } from "../ground/flavour.ts";
import type { KitSpan, Link } from "../orders/link.ts";
import type { Operation, OperationId } from "../orders/operation.ts";
import type { Order } from "../orders/order.ts";
import type { Crew } from "../plant/crew.ts";
import type { Machine, MachineId } from "../plant/machine.ts";
import type { Kit, Supply } from "../plant/supply.ts";
import type { CostWeights } from "./objective.ts";
import type { Plan } from "./plan.ts";

export type RunHourRuleId = Flavour<string, "run-hour rule">;

/** Maintenance due by run hours: the machine's counter never passes the limit. Operations at the end of the list may stay unplanned. */
export type RunHourRule = {
  readonly id: RunHourRuleId;
  readonly machine: MachineId;
  /** Minutes counted at now. */
  readonly counter: Minute;
  readonly limit: Minute;
  readonly operations: readonly OperationId[];
};

/** Named open minutes for work without a machine (outside processes, bench work). */
export type OpenCalendar = { readonly id: CalendarId; readonly name: string; readonly open: Intervals };

export type Problem = {
  readonly name: string;
  /** IANA zone of the site; only for people, the minutes below are final. */
  readonly zone: string;
  /** ISO 8601 instant in UTC, minute-aligned: minute 0. */
  readonly origin: string;
  readonly now: Minute;
  /** Everything planned ends at or before it. */
  readonly horizon: Minute;
  readonly calendars: readonly OpenCalendar[];
  readonly machines: readonly Machine[];
  readonly crews: readonly Crew[];
  readonly supplies: readonly Supply[];
  readonly kits: readonly Kit[];
  readonly orders: readonly Order[];
  readonly operations: readonly Operation[];
  readonly links: readonly Link[];
  readonly kitSpans: readonly KitSpan[];
  readonly runHourRules: readonly RunHourRule[];
  readonly published: Plan | null;
  /** Published work that starts before it is frozen; null: nothing is. */
  readonly freeze: Minute | null;
  readonly weights: CostWeights;
};
