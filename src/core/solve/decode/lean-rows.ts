/**
 * What most operations of a shop have in common, written side by side: one lot, one machine in each mode, no kit, window, pin or longest
 * wait. Laying such an operation (lean-place.ts) reads its rows from one stretch of memory, where following it from object to object
 * waits for memory longer than it computes. Also the traits by which a plan knows what it need not look after. Built once, never changed.
 */
import type { CrewChoice, DenseMachine, DenseMode, DenseOp, DensePhase } from "./model.ts";
import { FAR, NONE, phaseMinutes } from "./model.ts";

/** What an operation asks of the plan beyond machine, people and supplies. */
export const HOLDS_KITS = 1;
export const TIED = 2;
export const BOUND = 4;
export const PUBLISHED = 8;
export const SPANS_KITS = 16;
export const RENEWS = 32;
export const SERVICE = 64;
export const GIVES_PIECES = 128;

/** Cells of an operation: its lot, its pieces, when release and done work allow it, its modes; then the modes one after the other. */
export const OP_CELLS = 4;
/** Cells of a mode, before its phases. `NEXT` is where the next mode's cells begin. */
export const MODE = 0;
export const MACHINE = 1;
export const FAMILY = 2;
export const LEAST = 3;
export const WORK = 4;
export const PHASES = 5;
export const NEXT = 6;
export const MODE_CELLS = 7;
/** Cells of a phase, before its choices: the phase, its flags, its minutes, the number of choices. */
export const PHASE_CELLS = 4;
export const IS_PREPARE = 1;
export const IS_RUN = 2;
export const WANTS_STARTER = 4;

export type LeanRows = {
  /** Where the cells of an operation begin; NONE: it is none of the usual kind. */
  readonly rowOf: Int32Array;
  readonly cells: Int32Array;
  readonly modes: readonly DenseMode[];
  readonly phases: readonly DensePhase[];
  readonly choices: readonly CrewChoice[];
  readonly traits: Uint8Array;
  readonly orderOf: Int32Array;
  readonly tailOf: Int32Array;
};

export function leanRows(
  ops: readonly DenseOp[],
  machines: readonly DenseMachine[],
  now: number,
  leastOfMode: Float64Array,
): LeanRows {
  const rowOf = new Int32Array(ops.length).fill(NONE);
  const cells: number[] = [];
  const modes: DenseMode[] = [];
  const phases: DensePhase[] = [];
  const choices: CrewChoice[] = [];
  const known = new Map<CrewChoice, number>();
  const choiceRow = (choice: CrewChoice): number => {
    const row = known.get(choice) ?? choices.push(choice) - 1;
    known.set(choice, row);
    return row;
  };
  for (const op of ops) {
    for (const mode of op.modes) modes.push(mode);
    if (!isLean(op, machines, now)) continue;
    rowOf[op.index] = cells.length;
    const offered = op.modes.filter((mode) => !mode.impossible);
    cells.push(op.items[0]!, op.freePieces, op.readyAt, offered.length);
    for (const mode of offered) {
      const begin = cells.length;
      const worked = mode.phases.reduce((sum, phase) => sum + phaseMinutes(phase, op.freePieces), 0);
      const family = mode.hasSetup ? mode.families[0]! : NONE;
      cells.push(mode.index, mode.machines[0]!, family, Math.ceil(leastOfMode[mode.index]!), worked, mode.phases.length, 0);
      for (const phase of mode.phases) {
        const flags = (phase.isPrepare ? IS_PREPARE : 0) | (phase.isRun ? IS_RUN : 0) | (phase.wantsStarter ? WANTS_STARTER : 0);
        cells.push(phases.push(phase) - 1, flags, phaseMinutes(phase, op.freePieces), phase.choices.length);
        for (const choice of phase.choices) cells.push(choiceRow(choice));
      }
      cells[begin + NEXT] = cells.length;
    }
  }
  return {
    rowOf,
    cells: Int32Array.from(cells),
    modes,
    phases,
    choices,
    traits: Uint8Array.from(ops, (op) => traitsOf(op, machines)),
    orderOf: Int32Array.from(ops, (op) => op.order),
    tailOf: Int32Array.from(ops, (op) => op.tail),
  };
}

function isLean(op: DenseOp, machines: readonly DenseMachine[], now: number): boolean {
  return (
    !op.finished &&
    op.freePieces > 0 &&
    op.items.length === 1 &&
    op.source.progress.running.length === 0 &&
    op.block.length === 0 &&
    op.alike.length === 0 &&
    op.kits.length === 0 &&
    op.needsCalibrations.length === 0 &&
    op.pinnedSet === null &&
    op.pinnedStart === NONE &&
    (op.windowStart <= now || op.windowStart >= FAR) &&
    !op.byTransfer &&
    !op.givesPieces &&
    !op.prepareEarly &&
    op.modes.every(
      (mode) =>
        mode.machines.length === 1 &&
        machines[mode.machines[0]!]!.rules.length === 0 &&
        mode.phases.every((phase) => phase.maxWait >= FAR) &&
        mode.phases.some((phase) => phaseMinutes(phase, op.freePieces) > 0),
    )
  );
}

function traitsOf(op: DenseOp, machines: readonly DenseMachine[]): number {
  const counted = op.modes.some((mode) => mode.machines.some((machine) => machines[machine]!.rules.length > 0));
  return (
    (op.kits.length > 0 ? HOLDS_KITS : 0) |
    (op.followsDone || op.alike.length > 0 ? TIED : 0) |
    (op.windowStart > -FAR || op.windowEnd < FAR || op.pinnedSet !== null || op.pinnedStart !== NONE ? BOUND : 0) |
    (op.published.length > 0 ? PUBLISHED : 0) |
    (op.spans.length > 0 ? SPANS_KITS : 0) |
    (counted || op.needsCalibrations.length > 0 || op.calibrates.length > 0 ? RENEWS : 0) |
    (op.rule !== NONE ? SERVICE : 0) |
    (op.givesPieces ? GIVES_PIECES : 0)
  );
}
