/** What run phases have worked and have ahead of them, for run-hour counters. Pure. */
import { type Mode, type Operation, type Progress, type RunningLot, workMinutes } from "../../core/orders/operation.ts";

/** Minutes that run phases still have ahead of them in this state of a lot; null: it has ended. */
function runAhead(mode: Pick<Mode, "phases">, state: RunningLot | null): number {
  if (state === null) return 0;
  return mode.phases.reduce((sum, phase, i) => {
    if (phase.kind !== "run" || i < state.phase) return sum;
    return sum + (i === state.phase ? state.remaining : workMinutes(phase.work, state.pieces));
  }, 0);
}

/** Worked minutes of run phases that lie between two states of one lot; `to` null: to its end. */
export const runMinutesBetween = (mode: Pick<Mode, "phases"> | undefined, from: RunningLot, to: RunningLot | null): number =>
  mode ? Math.max(0, runAhead(mode, from) - runAhead(mode, to)) : 0;

/** All that run phases of the operation have worked on a machine. */
export function runWorked(operation: Pick<Operation, "modes">, { done, running }: Progress, machine: string): number {
  const minutes = (modeId: string, pieces: number, ahead: RunningLot | null): number => {
    const mode = operation.modes.find((m) => m.id === modeId);
    if (!mode?.machines.includes(machine)) return 0;
    const whole = mode.phases.reduce((sum, phase) => sum + (phase.kind === "run" ? workMinutes(phase.work, pieces) : 0), 0);
    return whole - runAhead(mode, ahead);
  };
  return (
    done.reduce((sum, lot) => sum + minutes(lot.mode, lot.pieces, null), 0) +
    running.reduce((sum, lot) => sum + minutes(lot.mode, lot.pieces, lot), 0)
  );
}
