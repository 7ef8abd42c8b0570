/**
 * Setup minutes of every lot, from the order in which lots start on each machine: from the family left by the latest
 * lot that starts earlier and has a family there (done and running ones included) to the lot's own; with several
 * machines the largest. Work without a family changes nothing. O(lots log lots).
 */
import { present } from "../ground/invariant.ts";
import { type Family, setupMinutes } from "../plant/setup.ts";
import type { LookUp } from "./look-up.ts";
import type { Lot, LotsOfPlan } from "./lots.ts";

/** Setup minutes of each lot; 0 without a family. */
export function setupsOfLots(look: LookUp, { all, onMachine, rowOf }: LotsOfPlan): (lot: Lot) => number {
  const setups = new Float64Array(all.length);
  for (const [id, list] of onMachine) {
    const machine = present(look.machines.get(id), `machine ${id}`);
    let standing: Family | null = machine.family;
    for (const lot of list) {
      const machines = lot.mode?.machines ?? [];
      for (let i = 0; i < machines.length; i++) {
        const family = machines[i] === id ? (lot.mode?.families[i] ?? null) : null;
        if (family === null) continue;
        const row = rowOf(lot);
        setups[row] = Math.max(setups[row] as number, setupMinutes(machine.setup, standing, family));
        standing = family;
      }
    }
  }
  return (lot) => setups[rowOf(lot)] as number;
}
