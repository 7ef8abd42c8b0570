/**
 * All rules of the planning problem, applied to one plan. Used by the checker, and by frozen.ts to ask what would be wrong
 * with published work in its place. Sorted by time, then kind, so that the same plan always reads the same.
 */

import { checkBatches } from "./batch.ts";
import { checkCalibrations } from "./calibration.ts";
import { checkCrews, checkKits, checkSupplies } from "./capacity.ts";
import { CONFLICT_KINDS, type Conflict } from "./conflict.ts";
import { checkDeadlines } from "./deadline.ts";
import { checkDecided } from "./decided.ts";
import { checkFlow } from "./flow.ts";
import { checkLimits } from "./limits.ts";
import { checkLinks } from "./links.ts";
import type { Lot } from "./lots.ts";
import { checkMachineUse } from "./machine-use.ts";
import { checkOpening } from "./opening.ts";
import { checkPeople } from "./people.ts";
import { checkPhases } from "./phases.ts";
import { checkPlannedAtAll } from "./planned-at-all.ts";
import { checkRunHours } from "./run-hours.ts";
import { plannedLots, type Scene } from "./scene.ts";
import { checkTransfers } from "./transfer.ts";
import { checkUnattended } from "./unattended.ts";

/** Rules about a lot by itself: its place in time, its calendars, its people, its phases. They look at nothing but it and its setup. */
const RULES_OF_A_LOT: readonly ((scene: Scene, lot: Lot) => void)[] = [
  ...[checkOpening, checkPeople, checkUnattended, checkPhases, checkFlow, checkLimits],
];

/** Rules about what lots are to each other. */
const RULES: readonly ((scene: Scene) => void)[] = [
  ...[checkPlannedAtAll, checkMachineUse, checkCrews, checkSupplies, checkKits],
  ...[checkBatches, checkCalibrations, checkDecided, checkLinks, checkTransfers, checkDeadlines, checkRunHours],
];

/** Lots looked at between two calls of `breathe`. */
const BREATH = 32;

/** A lot that has once been found sound with this setup is the same object and needs no second look. */
function checkLotsAlone(scene: Scene, written: readonly Conflict[], breathe: (() => void) | undefined): void {
  let looked = 0;
  for (const lot of plannedLots(scene)) {
    const setup = scene.setupOf(lot);
    if (lot.soundWith === setup) continue;
    if (looked++ % BREATH === 0) breathe?.();
    const before = written.length;
    for (const rule of RULES_OF_A_LOT) rule(scene, lot);
    if (written.length === before) lot.soundWith = setup;
  }
}

/** Every conflict of the scene's plan, earliest first. `breathe` is called between two rules and every few lots. */
export function conflictsOf(
  { scene, written }: { readonly scene: Scene; readonly written: readonly Conflict[] },
  breathe?: () => void,
): readonly Conflict[] {
  for (const rule of RULES) {
    breathe?.();
    rule(scene);
  }
  checkLotsAlone(scene, written, breathe);
  if (written.length < 2) return [...written];
  const rank = new Map(CONFLICT_KINDS.map((kind, i) => [kind, i]));
  const key = ({ operations, resource }: Conflict): string => JSON.stringify([operations, resource]);
  return written.toSorted(
    (a, b) =>
      a.interval[0] - b.interval[0] ||
      (rank.get(a.kind) ?? 0) - (rank.get(b.kind) ?? 0) ||
      (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : a.interval[1] - b.interval[1]),
  );
}
