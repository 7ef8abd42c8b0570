/**
 * calibrationLapsed: a lot that needs a calibration ends at or before its due minute on each machine of its mode that has it.
 * A calibration operation ending at e moves that minute to e + interval for what starts at or after e; the latest one counts.
 * One conflict for each lot, with the first machine that has lapsed; amount = minutes from due to end.
 */
import type { Minute } from "../calendar/minute.ts";
import { conflictOf, plannedLots, type Scene } from "./scene.ts";
import { sayDuration } from "./wording.ts";

export function checkCalibrations(scene: Scene): void {
  const { look, at, name, write } = scene;
  const renewals = renewalEnds(scene);
  for (const lot of plannedLots(scene)) {
    if (lot.operation.needsCalibrations.length === 0) continue;
    for (const id of lot.mode?.machines ?? []) {
      const lapsed = (look.machines.get(id)?.calibrations ?? [])
        .filter((calibration) => lot.operation.needsCalibrations.includes(calibration.name))
        .map((calibration) => {
          const renewed = latestUpTo(renewals.get(keyOf(id, calibration.name)) ?? [], lot.start);
          return { name: calibration.name, due: renewed === null ? calibration.due : renewed + calibration.interval };
        })
        .find(({ due }) => lot.end > due);
      if (lapsed === undefined) continue;
      const { due } = lapsed;
      const sentence = `${name(lot.operation)} ends at ${at(lot.end)}, ${sayDuration(lot.end - due)} after the calibration "${lapsed.name}" of ${look.machines.get(id)?.name} falls due (${at(due)}).`;
      write(conflictOf("calibrationLapsed", [lot.operation.id], id, [due, lot.end], lot.end - due, sentence));
      break;
    }
  }
}

const keyOf = (machine: string, calibration: string): string => JSON.stringify([machine, calibration]);

/** Ends of calibration lots by machine and name, rising; done ones included. */
function renewalEnds({ lots }: Scene): ReadonlyMap<string, readonly Minute[]> {
  const ends = new Map<string, Minute[]>();
  for (const { operation, mode, end } of lots.all) {
    for (const calibration of operation.calibrates) {
      for (const machine of mode?.machines ?? []) {
        const key = keyOf(machine, calibration);
        const list = ends.get(key);
        if (list) list.push(end);
        else ends.set(key, [end]);
      }
    }
  }
  for (const list of ends.values()) list.sort((a, b) => a - b);
  return ends;
}

const latestUpTo = (rising: readonly Minute[], minute: Minute): Minute | null => rising.findLast((end) => end <= minute) ?? null;
