/**
 * Lays one phase out: from a given first minute the worked stretches follow from its flow alone (nothing rests by choice),
 * so an earliest begin is found by trying begins and jumping past what forbids them. Exact for solid and pausable flows;
 * a piecewise begin that would dodge another's work only by where a piece ends may be passed over (still a correct plan).
 */
import { type CrewChoice, type DensePhase, PAUSABLE, SOLID } from "./model.ts";
import type { Profile } from "./profile.ts";
import { nextMinute, stretchAt, stretchOfWorked, type WorkCalendar } from "./work-calendar.ts";

/** What is left of each crew, then of each supply. */
export type Profiles = { readonly pools: readonly Profile[] };

/** What must be ready before which piece begins: minute for each piece of the lot, or null. */
export type PieceFloors = Int32Array | null;

export const IMPOSSIBLE = -1;

/** Stretches being laid: start, end, start, end, ... up to `count`. Kept from one try to the next, for a search lays millions. */
export type Laid = { readonly stretches: number[]; count: number };

export const newLaid = (): Laid => ({ stretches: [], count: 0 });

/** The stretches as they go into a plan. */
export function copyOf({ stretches, count }: Laid): number[] {
  return count === 2 ? [stretches[0]!, stretches[1]!] : stretches.slice(0, count);
}

/** Minutes worked in it. */
export function workedOf({ stretches, count }: Laid): number {
  let sum = 0;
  for (let i = 0; i < count; i += 2) sum += stretches[i + 1]! - stretches[i]!;
  return sum;
}

function lay(out: Laid, from: number, until: number): void {
  out.stretches[out.count++] = from;
  out.stretches[out.count++] = until;
}

/** Where to try next when a begin was not possible; valid right after layFrom returned IMPOSSIBLE. */
let retryAt = 0;

export const retryFrom = (): number => retryAt;

/**
 * Stretches of the phase when it begins exactly at `begin`, a minute of stretch `i`. Returns the end, or IMPOSSIBLE.
 * `minutes` includes `setup`, which comes first.
 */
export function layFrom(
  phase: DensePhase,
  calendar: WorkCalendar,
  begin: number,
  i: number,
  minutes: number,
  setup: number,
  pieces: number,
  out: Laid,
): number {
  const { starts, ends, before, count } = calendar;
  out.count = 0;
  if (phase.flow === SOLID) {
    const end = begin + minutes;
    if (end > ends[i]!) {
      retryAt = i + 1 < count ? starts[i + 1]! : -1;
      return IMPOSSIBLE;
    }
    lay(out, begin, end);
    return end;
  }
  if (phase.flow === PAUSABLE) {
    const target = before[i]! + (begin - starts[i]!) + minutes;
    const j = stretchOfWorked(calendar, target, i);
    if (j >= count) {
      retryAt = -1;
      return IMPOSSIBLE;
    }
    const lacks = calendar.lacksStarter;
    if (lacks !== null && lacks[j]! > lacks[i]!) {
      // the last resting place where nobody could go on: begin there or later
      let k = j;
      while (lacks[k - 1]! === lacks[k]!) k--;
      retryAt = starts[k]!;
      return IMPOSSIBLE;
    }
    const end = starts[j]! + target - before[j]!;
    if (i === j) lay(out, begin, end);
    else {
      lay(out, begin, ends[i]!);
      for (let k = i + 1; k < j; k++) lay(out, starts[k]!, ends[k]!);
      lay(out, starts[j]!, end);
    }
    return end;
  }
  let done = 0;
  let doneMinutes = 0;
  const seconds = phase.secondsPerPiece;
  for (let k = i; k < count; k++) {
    const from = k === i ? begin : starts[k]!;
    const room = ends[k]! - from;
    const fits = Math.min(pieces, Math.floor(((room + doneMinutes - setup) * 60) / seconds));
    if (fits <= done) continue;
    if (out.count === 0 && k > i) {
      retryAt = from; // not even one piece fits where it was to begin
      return IMPOSSIBLE;
    }
    if (k > i && calendar.lacksStarter !== null && calendar.lacksStarter[k]! > calendar.lacksStarter[k - 1]!) {
      retryAt = from;
      return IMPOSSIBLE;
    }
    const reached = Math.floor((fits * seconds + 59) / 60) + setup;
    const end = from + reached - doneMinutes;
    lay(out, from, end);
    done = fits;
    doneMinutes = reached;
    if (done === pieces) return end;
  }
  retryAt = -1;
  return IMPOSSIBLE;
}

/** The end of the last shortage that the stretches meet, or -1. */
export function shortageOf(
  profiles: Profiles,
  choice: CrewChoice,
  stretches: readonly number[],
  count = stretches.length,
): number {
  let worst = -1;
  const { uses } = choice;
  for (let u = 0; u < uses.length; u += 2) {
    const profile = profiles.pools[uses[u]!]!;
    for (let i = count - 2; i >= 0; i -= 2) {
      const until = profile.shortUntil(stretches[i]!, stretches[i + 1]!, uses[u + 1]!);
      if (until >= 0) {
        if (until > worst) worst = until;
        break;
      }
    }
  }
  return worst;
}

/** The first piece that would begin before what it needs is there; its number from 1, or 0. */
function firstEarlyPiece(phase: DensePhase, setup: number, { stretches, count }: Laid, floors: Int32Array): number {
  let at = 0;
  let workedBefore = 0;
  for (let piece = 1; piece <= floors.length; piece++) {
    const worked = piece === 1 ? 0 : Math.floor(((piece - 1) * phase.secondsPerPiece + 59) / 60) + setup;
    while (at < count && worked - workedBefore >= stretches[at + 1]! - stretches[at]!) {
      workedBefore += stretches[at + 1]! - stretches[at]!;
      at += 2;
    }
    if (at >= count) return 0;
    if (stretches[at]! + worked - workedBefore < floors[piece - 1]!) return piece;
  }
  return 0;
}

/**
 * The earliest begin at or after `from` that the flow, the starters and (with profiles) other work allow.
 * `previousEnd`: end of the phase before, -1 for the first; there an unattended phase need not be started.
 * Fills `out` with the stretches and returns the end, IMPOSSIBLE when there is none that ends by `latestEnd`.
 */
export function earliestPhase(
  profiles: Profiles | null,
  phase: DensePhase,
  choice: CrewChoice,
  from: number,
  previousEnd: number,
  minutes: number,
  setup: number,
  pieces: number,
  floors: PieceFloors,
  latestEnd: number,
  out: Laid,
): number {
  const { calendar } = choice;
  let at = from;
  for (;;) {
    let i = stretchAt(calendar, at);
    if (i >= calendar.count) return IMPOSSIBLE;
    let begin = Math.max(calendar.starts[i]!, at);
    if (phase.wantsStarter && calendar.startable !== null && begin !== previousEnd) {
      const startable = nextMinute(calendar.startable, begin);
      if (startable < 0) return IMPOSSIBLE;
      if (startable > begin) i = stretchAt(calendar, startable);
      begin = startable;
    }
    if (begin + minutes > latestEnd) return IMPOSSIBLE;
    const end = layFrom(phase, calendar, begin, i, minutes, setup, pieces, out);
    if (end === IMPOSSIBLE) {
      if (retryAt < 0) return IMPOSSIBLE;
      at = retryAt > begin ? retryAt : begin + 1;
      continue;
    }
    if (end > latestEnd) return IMPOSSIBLE;
    if (floors !== null) {
      const early = firstEarlyPiece(phase, setup, out, floors);
      if (early > 0) {
        at = begin + 1;
        if (phase.flow !== 2) {
          // begin so that the piece's first minute is worked no earlier than what it needs
          const ready = floors[early - 1]!;
          const r = stretchAt(calendar, ready);
          if (r >= calendar.count) return IMPOSSIBLE;
          const workedAtReady = calendar.before[r]! + Math.max(0, ready - calendar.starts[r]!);
          const offset = early === 1 ? 0 : Math.floor(((early - 1) * phase.secondsPerPiece + 59) / 60) + setup;
          const b = stretchAt(calendar, begin);
          const beginWorked = calendar.before[b]! + begin - calendar.starts[b]!;
          const wanted = workedAtReady - offset;
          if (wanted > beginWorked) {
            const k = stretchOfWorked(calendar, wanted + 1, b);
            if (k >= calendar.count) return IMPOSSIBLE;
            at = Math.max(at, calendar.starts[k]! + wanted - calendar.before[k]!);
          }
        }
        continue;
      }
    }
    if (profiles === null) return end;
    const until = shortageOf(profiles, choice, out.stretches, out.count);
    if (until < 0) return end;
    at = until > begin ? until : begin + 1;
  }
}

/** The latest begin so that the phase ends by `endBy`, by its calendar alone (no other work); -1 when there is none. Not for pieces. */
export function latestBegin(phase: DensePhase, calendar: WorkCalendar, endBy: number, minutes: number): number {
  let i = stretchAt(calendar, endBy - 1);
  if (i >= calendar.count || calendar.starts[i]! >= endBy) i--;
  if (i < 0) return -1;
  const end = Math.min(endBy, calendar.ends[i]!);
  if (phase.flow === SOLID) {
    let until = end;
    while (until - calendar.starts[i]! < minutes) {
      i--;
      if (i < 0) return -1;
      until = calendar.ends[i]!;
    }
    return until - minutes;
  }
  const wanted = calendar.before[i]! + end - calendar.starts[i]! - minutes;
  if (wanted < 0) return -1;
  let low = 0;
  let high = i;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (calendar.before[middle + 1]! > wanted) high = middle;
    else low = middle + 1;
  }
  return calendar.starts[low]! + wanted - calendar.before[low]!;
}

const alone = newLaid();

/** Lays a phase that begins exactly there, by its calendar alone; false when its flow does not allow it. */
export function layExactly(
  phase: DensePhase,
  calendar: WorkCalendar,
  begin: number,
  minutes: number,
  setup: number,
  pieces: number,
  out: Laid,
): boolean {
  const i = stretchAt(calendar, begin);
  if (i >= calendar.count || calendar.starts[i]! > begin) return false;
  return layFrom(phase, calendar, begin, i, minutes, setup, pieces, out) !== IMPOSSIBLE;
}

/** The same stretches as a list of their own, or null. */
export function stretchesFrom(
  phase: DensePhase,
  calendar: WorkCalendar,
  begin: number,
  minutes: number,
  setup: number,
  pieces: number,
): number[] | null {
  return layExactly(phase, calendar, begin, minutes, setup, pieces, alone) ? copyOf(alone) : null;
}
