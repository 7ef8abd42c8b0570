/**
 * Work that would find a calibration lapsed or a run-hour counter past its limit: from when it may be laid again, behind the next
 * calibration or service that stands on the machine. Look-ups on the state; changes nothing.
 */
import { type Draft, draftEnd, draftStart } from "./draft.ts";
import { workedOf } from "./lay-phase.ts";
import type { DenseOp } from "./model.ts";
import { calibrationDue } from "./rule-breaks.ts";
import type { State } from "./state.ts";

/** The minute after `at` from which the drafted lot finds all of its machines renewed; -1 when all holds or nothing better comes. */
export function laterForRenewal(state: State, op: DenseOp, draft: Draft, at: number): number {
  const calibrated = op.needsCalibrations.length > 0 ? laterForCalibration(state, op, draft) : -1;
  return calibrated > at ? calibrated : laterForService(state, op, draft);
}

/** Where the next calibration of a lapsed machine ends, when waiting for it helps. */
function laterForCalibration(state: State, op: DenseOp, draft: Draft): number {
  const start = draftStart(draft);
  const end = draftEnd(draft);
  for (const machine of draft.mode!.machines) {
    for (const entry of state.model.machines[machine]!.calibrations) {
      if (!op.needsCalibrations.includes(entry.name)) continue;
      if (end <= calibrationDue(state, machine, entry.name, entry.due, entry.interval, start)) continue;
      for (const p of state.lists[machine]!) {
        if (p.end > start && state.model.ops[p.op]!.calibrates.includes(entry.name)) return p.end;
      }
    }
  }
  return -1;
}

/** Where the next service of a machine ends, when its run-hour counter would pass the limit here. */
function laterForService(state: State, op: DenseOp, draft: Draft): number {
  const { model } = state;
  for (const machine of draft.mode!.machines) {
    const { rules } = model.machines[machine]!;
    for (let r = 0; r < rules.length; r++) {
      const rule = model.rules[rules[r]!]!;
      if (op.rule === rule.index) continue;
      const start = draftStart(draft);
      const mine = runOfDraft(draft);
      let counter = rule.counter + mine;
      for (const p of state.lists[machine]!) {
        counter += p.run;
        if (model.ops[p.op]!.rule !== rule.index) continue;
        if (p.start < start) {
          counter = mine;
          continue;
        }
        if (counter > rule.limit) return p.end;
        break;
      }
    }
  }
  return -1;
}

function runOfDraft(draft: Draft): number {
  let sum = 0;
  for (let k = 0; k < draft.count; k++) if (draft.phases[k]!.isRun) sum += workedOf(draft.laid[k]!);
  return sum;
}
