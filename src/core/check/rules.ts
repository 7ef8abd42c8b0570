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
import { checkMachineUse } from "./machine-use.ts";
import { checkOpening } from "./opening.ts";
import { checkPeople } from "./people.ts";
import { checkPhases } from "./phases.ts";
import { checkPlannedAtAll } from "./planned-at-all.ts";
import { checkRunHours } from "./run-hours.ts";
import type { Scene } from "./scene.ts";
import { checkTransfers } from "./transfer.ts";
import { checkUnattended } from "./unattended.ts";

const RULES: readonly ((scene: Scene) => void)[] = [
  ...[checkPlannedAtAll, checkMachineUse, checkCrews, checkSupplies, checkKits, checkOpening, checkPeople, checkUnattended],
  ...[checkPhases, checkFlow, checkBatches, checkLimits, checkCalibrations, checkDecided, checkLinks, checkTransfers],
  ...[checkDeadlines, checkRunHours],
];

/** Every conflict of the scene's plan, earliest first. */
export function conflictsOf({
  scene,
  written,
}: {
  readonly scene: Scene;
  readonly written: readonly Conflict[];
}): readonly Conflict[] {
  for (const rule of RULES) rule(scene);
  const rank = new Map(CONFLICT_KINDS.map((kind, i) => [kind, i]));
  const key = ({ operations, resource }: Conflict): string => JSON.stringify([operations, resource]);
  return written.toSorted(
    (a, b) =>
      a.interval[0] - b.interval[0] ||
      (rank.get(a.kind) ?? 0) - (rank.get(b.kind) ?? 0) ||
      (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : a.interval[1] - b.interval[1]),
  );
}
