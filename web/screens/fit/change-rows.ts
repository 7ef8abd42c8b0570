/** What an answer changes, by machine: where work lies in the draft and where it would lie. Pure. */
import type { OrderBody } from "../../../src/contract/api/order.ts";
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import type { Mode, Operation } from "../../../src/core/orders/operation.ts";
import type { Plan, PlannedLot, PlannedOperation } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { operationNumber, type Segment, segmentsOfLot } from "../../present/segments.ts";
import { words } from "../../words/words.ts";

export type DrawnLot = {
  readonly key: string;
  readonly label: string;
  readonly start: number;
  readonly end: number;
  readonly segments: readonly Segment[];
  readonly own: boolean;
};

export type ChangeRow = {
  readonly machine: string;
  readonly name: string;
  readonly rig: boolean;
  /** Where it lies in the draft and would not any more. */
  readonly before: readonly DrawnLot[];
  readonly after: readonly DrawnLot[];
  /** What stays on this machine. */
  readonly still: readonly (readonly [start: number, end: number])[];
};

type Known = Pick<Operation, "id" | "order"> & { readonly modes: readonly Pick<Mode, "id" | "machines" | "phases">[] };

/** `order`: a new order whose operations the problem does not know yet. */
export function changeRows(
  problem: Problem,
  draft: Plan,
  fit: FitAnswer,
  own: string,
  order: OrderBody | null,
): readonly ChangeRow[] {
  const known = new Map<string, Known>(problem.operations.map((operation) => [operation.id, operation]));
  // The file's modes say of machines and phases what the core's say, as far as a drawing looks.
  for (const { id, modes } of order?.operations ?? [])
    known.set(id, { id, order: own, modes: modes as unknown as readonly Mode[] });
  const lotsBefore = new Map(draft.operations.map(({ operation, lots }) => [operation, lots]));
  const changed = new Map((fit.changes as readonly PlannedOperation[]).map(({ operation, lots }) => [operation, lots]));
  const gone = new Set(fit.removed);
  const rows = new Map<string, { before: DrawnLot[]; after: DrawnLot[] }>();
  const put = (operation: string, lots: readonly PlannedLot[], side: "before" | "after"): void => {
    const found = known.get(operation);
    if (!found) return;
    lots.forEach((lot, i) => {
      const mode = found.modes.find(({ id }) => id === lot.mode);
      const drawn: DrawnLot = {
        key: `${operation}#${i}${side}`,
        label: `${found.order}/${operationNumber(operation, found.order)}`,
        start: lot.start,
        end: lot.end,
        segments: mode ? segmentsOfLot(lot, mode as Mode) : [],
        own: found.order === own,
      };
      for (const machine of mode && mode.machines.length > 0 ? mode.machines : [""]) {
        const row = rows.get(machine) ?? { before: [], after: [] };
        row[side].push(drawn);
        rows.set(machine, row);
      }
    });
  };
  for (const [operation, lots] of changed) put(operation, lots, "after");
  for (const operation of [...changed.keys(), ...gone]) put(operation, lotsBefore.get(operation) ?? [], "before");

  const stillOn = new Map<string, (readonly [number, number])[]>();
  for (const { operation, lots } of draft.operations) {
    if (changed.has(operation) || gone.has(operation)) continue;
    for (const lot of lots)
      for (const machine of known.get(operation)?.modes.find(({ id }) => id === lot.mode)?.machines ?? [])
        if (rows.has(machine)) stillOn.set(machine, [...(stillOn.get(machine) ?? []), [lot.start, lot.end]]);
  }
  const machines = [
    ...problem.machines.map(({ id, name, kind }) => ({ id, name, rig: kind === "rig" })),
    { id: "", name: words.fit.bench, rig: false },
  ];
  return machines.flatMap(({ id, name, rig }) => {
    const row = rows.get(id);
    return row ? [{ machine: id, name, rig, before: row.before, after: row.after, still: stillOn.get(id) ?? [] }] : [];
  });
}
