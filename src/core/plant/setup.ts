/** Setup minutes from the family a machine stands in to the family an operation needs. */
import type { Flavour } from "../ground/flavour.ts";
import { invariant } from "../ground/invariant.ts";
import { ceilDivide } from "../ground/rounding.ts";

export type SetupTableId = Flavour<string, "setup table">;

/** A name of the machine's setup table, or, under the temperature rule, a temperature in thousandths of a kelvin. */
export type Family = string | number;

export type SetupTable = {
  readonly id: SetupTableId;
  readonly name: string;
  readonly families: readonly string[];
  /** minutes[from][to], every pair, the same one included. */
  readonly minutes: readonly (readonly number[])[];
};

export type SetupRule =
  | { readonly kind: "none" }
  | { readonly kind: "table"; readonly table: SetupTable }
  /** Chamber: ceil(|difference| / ramp) + settling when the temperatures differ. Thousandths of a kelvin (per minute). */
  | { readonly kind: "temperature"; readonly rampPerMinute: number; readonly settling: number };

/** Setup minutes; 0 when the machine has no rule or stands in no family. */
export function setupMinutes(rule: SetupRule, from: Family | null, to: Family): number {
  if (rule.kind === "none" || from === null) return 0;
  if (rule.kind === "temperature") {
    invariant(typeof from === "number" && typeof to === "number", "a temperature rule needs numbers as families");
    return from === to ? 0 : ceilDivide(Math.abs(from - to), rule.rampPerMinute) + rule.settling;
  }
  const row = rule.table.minutes[rule.table.families.indexOf(String(from))];
  const entry = row?.[rule.table.families.indexOf(String(to))];
  invariant(entry !== undefined, `setup table ${rule.table.id} has no entry ${from} -> ${to}`);
  return entry;
}
