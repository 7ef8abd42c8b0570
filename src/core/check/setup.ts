/**
 * Setup minutes of every lot, from the order in which lots start on each machine: from the family left by the latest
 * lot that starts earlier and has a family there (done and running ones included) to the lot's own; with several
 * machines the largest. Work without a family changes nothing. O(lots log lots).
 */
import { present } from "../ground/invariant.ts";
import { type Family, setupMinutes } from "../plant/setup.ts";
import type { LookUp } from "./look-up.ts";
import { byStart, type Lot } from "./lots.ts";

/** Setup minutes by lot; lots without a family are not in it. */
export function setupsOfLots(look: LookUp, lots: readonly Lot[]): ReadonlyMap<Lot, number> {
  const visits = new Map<string, { lot: Lot; family: Family }[]>();
  for (const lot of lots) {
    lot.mode?.machines.forEach((machine, i) => {
      const family = lot.mode?.families[i] ?? null;
      if (family === null) return;
      const list = visits.get(machine);
      if (list) list.push({ lot, family });
      else visits.set(machine, [{ lot, family }]);
    });
  }
  const setups = new Map<Lot, number>();
  for (const [id, list] of visits) {
    const machine = present(look.machines.get(id), `machine ${id}`);
    let standing = machine.family;
    for (const { lot, family } of list.sort((a, b) => byStart(a.lot, b.lot))) {
      setups.set(lot, Math.max(setups.get(lot) ?? 0, setupMinutes(machine.setup, standing, family)));
      standing = family;
    }
  }
  return setups;
}
