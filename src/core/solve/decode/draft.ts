/**
 * A place while it is looked for: the phases of one lot laid so far, in memory that is kept from one try to the next. Most places that
 * are found are thrown away again for a better one, so a placement is made of the last one only.
 */
import { copyOf, type Laid, newLaid } from "./lay-phase.ts";
import type { CrewChoice, DenseMode, DensePhase, Model } from "./model.ts";
import { makePlacement, type PlacedPhase, type Placement } from "./placement.ts";
import { NEVER } from "./work-calendar.ts";

export type Draft = {
  mode: DenseMode | null;
  item: number;
  pieces: number;
  /** Setup minutes within its prepare phase. */
  setup: number;
  /** Minute of a lot without any work. */
  instantAt: number;
  /** Minutes laid; those of run phases, where they are counted while it is looked for. */
  worked: number;
  run: number;
  /** Phases laid; the rows beyond are left from before. */
  count: number;
  readonly phases: DensePhase[];
  /** Rows of the mode, its phases and who serves them, where they are looked up last (lean-place.ts). */
  modeRow: number;
  readonly rows: number[];
  readonly choiceRows: number[];
  readonly choices: CrewChoice[];
  readonly laid: Laid[];
};

const NO_CHOICE: CrewChoice = { index: -1, crewOfNeed: [], crews: [], amounts: [], uses: [], calendar: NEVER };
const NO_PHASE: DensePhase = {
  index: -1,
  isPrepare: false,
  isRun: false,
  flow: 0,
  minutes: 0,
  secondsPerPiece: 0,
  maxWait: 0,
  wantsStarter: false,
  supplies: [],
  draws: [],
  choices: [],
};
const PHASES_FIRST = 16;

export function newDraft(): Draft {
  return {
    mode: null,
    item: -1,
    pieces: 0,
    setup: 0,
    instantAt: 0,
    worked: 0,
    run: 0,
    count: 0,
    phases: Array.from({ length: PHASES_FIRST }, () => NO_PHASE),
    modeRow: -1,
    rows: Array.from({ length: PHASES_FIRST }, () => -1),
    choiceRows: Array.from({ length: PHASES_FIRST }, () => -1),
    choices: Array.from({ length: PHASES_FIRST }, () => NO_CHOICE),
    laid: Array.from({ length: PHASES_FIRST }, newLaid),
  };
}

/** The row for the next phase, to be laid into. */
export function nextLaid(draft: Draft): Laid {
  if (draft.count === draft.laid.length) draft.laid.push(newLaid());
  return draft.laid[draft.count]!;
}

export const draftBegin = (draft: Draft, k: number): number => draft.laid[k]!.stretches[0]!;
export const draftEndOf = (draft: Draft, k: number): number => draft.laid[k]!.stretches[draft.laid[k]!.count - 1]!;
export const draftStart = (draft: Draft): number => (draft.count > 0 ? draftBegin(draft, 0) : draft.instantAt);
export const draftEnd = (draft: Draft): number => (draft.count > 0 ? draftEndOf(draft, draft.count - 1) : draft.instantAt);

/** Waiting minutes times machines of a lot that has not begun. */
export function draftWaiting(draft: Draft): number {
  return Math.max(0, draftEnd(draft) - draftStart(draft) - draft.worked) * draft.mode!.machines.length;
}

const NO_PLACED: PlacedPhase = { phase: NO_PHASE, choice: NO_CHOICE, stretches: [] };
/** Cut to length it is a list of just the size needed. */
const rows: PlacedPhase[] = Array.from({ length: PHASES_FIRST }, () => NO_PLACED);

/** The phases as they go into a plan. */
export function placedPhases(draft: Draft): PlacedPhase[] {
  while (rows.length < draft.count) rows.push(NO_PLACED);
  const placed = rows.slice(0, draft.count);
  for (let k = 0; k < placed.length; k++)
    placed[k] = { phase: draft.phases[k]!, choice: draft.choices[k]!, stretches: copyOf(draft.laid[k]!) };
  return placed;
}

export function placementOf(model: Model, draft: Draft): Placement {
  return makePlacement(
    model,
    draft.item,
    draft.mode!,
    draft.pieces,
    placedPhases(draft),
    draft.setup,
    draft.instantAt,
    null,
    false,
  );
}
