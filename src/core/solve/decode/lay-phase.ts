/**
 * Lays one phase out: from a given first minute the worked stretches follow from its flow alone (nothing rests by choice),
 * so an earliest begin is found by trying begins and jumping past what forbids them. Exact for solid and pausable flows;
 * a piecewise begin that would dodge another's work only by where a piece ends may be passed over (still a correct plan).
 */
import { type CrewChoice, type DensePhase, PAUSABLE, SOLID } from "./model.ts";
import type { Profile } from "./profile.ts";
import { nextMinute, stretchAt, stretchOfWorked, type WorkCalendar } from "./work-calendar.ts";

export type Profiles = { readonly crews: readonly Profile[]; readonly supplies: readonly Profile[] };

/** What must be ready before which piece begins: minute for each piece of the lot, or null. */
export type PieceFloors = Int32Array | null;

export const IMPOSSIBLE = -1;

/** Where to try next when a begin was not possible; valid right after layFrom returned IMPOSSIBLE. */
let retryAt = 0;

/**
 * Stretches of the phase when it begins exactly at `begin`, a minute of stretch `i`. Returns the end, or IMPOSSIBLE.
 * `minutes` includes `setup`, which comes first.
 */
function layFrom(
  phase: DensePhase,
  calendar: WorkCalendar,
  begin: number,
  i: number,
  minutes: number,
  setup: number,
  pieces: number,
  out: number[],
): number {
  const { starts, ends, before, count } = calendar;
  out.length = 0;
  if (phase.flow === SOLID) {
    const end = begin + minutes;
    if (end > ends[i]!) {
      retryAt = i + 1 < count ? starts[i + 1]! : -1;
      return IMPOSSIBLE;
    }
    out.push(begin, end);
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
    if (i === j) out.push(begin, end);
    else {
      out.push(begin, ends[i]!);
      for (let k = i + 1; k < j; k++) out.push(starts[k]!, ends[k]!);
      out.push(starts[j]!, end);
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
    if (out.length === 0 && k > i) {
      retryAt = from; // not even one piece fits where it was to begin
      return IMPOSSIBLE;
    }
    if (k > i && calendar.lacksStarter !== null && calendar.lacksStarter[k]! > calendar.lacksStarter[k - 1]!) {
      retryAt = from;
      return IMPOSSIBLE;
    }
    const reached = Math.floor((fits * seconds + 59) / 60) + setup;
    out.push(from, from + reached - doneMinutes);
    done = fits;
    doneMinutes = reached;
    if (done === pieces) return out[out.length - 1]!;
  }
  retryAt = -1;
  return IMPOSSIBLE;
}

/** The end of the last shortage that the stretches meet, or -1. */
export function shortageOf(profiles: Profiles, phase: DensePhase, choice: CrewChoice, stretches: readonly number[]): number {
  let worst = -1;
  const { crews, amounts } = choice;
  for (let c = 0; c < crews.length; c++) {
    const profile = profiles.crews[crews[c]!]!;
    for (let i = stretches.length - 2; i >= 0; i -= 2) {
      const until = profile.shortUntil(stretches[i]!, stretches[i + 1]!, amounts[c]!);
      if (until >= 0) {
        if (until > worst) worst = until;
        break;
      }
    }
  }
  const { supplies, draws } = phase;
  for (let c = 0; c < supplies.length; c++) {
    const profile = profiles.supplies[supplies[c]!]!;
    for (let i = stretches.length - 2; i >= 0; i -= 2) {
      const until = profile.shortUntil(stretches[i]!, stretches[i + 1]!, draws[c]!);
      if (until >= 0) {
        if (until > worst) worst = until;
        break;
      }
    }
  }
  return worst;
}

/** The first piece that would begin before what it needs is there; its number from 1, or 0. */
function firstEarlyPiece(phase: DensePhase, setup: number, stretches: readonly number[], floors: Int32Array): number {
  let at = 0;
  let workedBefore = 0;
  for (let piece = 1; piece <= floors.length; piece++) {
    const worked = piece === 1 ? 0 : Math.floor(((piece - 1) * phase.secondsPerPiece + 59) / 60) + setup;
    while (at < stretches.length && worked - workedBefore >= stretches[at + 1]! - stretches[at]!) {
      workedBefore += stretches[at + 1]! - stretches[at]!;
      at += 2;
    }
    if (at >= stretches.length) return 0;
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
  out: number[],
): number {
  const { calendar } = choice;
  let at = from;
  for (;;) {
    let begin = nextMinute(calendar, at);
    if (begin < 0) return IMPOSSIBLE;
    if (phase.wantsStarter && calendar.startable !== null && begin !== previousEnd) {
      const startable = nextMinute(calendar.startable, begin);
      if (startable < 0) return IMPOSSIBLE;
      begin = startable;
    }
    if (begin + minutes > latestEnd) return IMPOSSIBLE;
    const end = layFrom(phase, calendar, begin, stretchAt(calendar, begin), minutes, setup, pieces, out);
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
          const i = stretchAt(calendar, ready);
          if (i >= calendar.count) return IMPOSSIBLE;
          const workedAtReady = calendar.before[i]! + Math.max(0, ready - calendar.starts[i]!);
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
    const until = shortageOf(profiles, phase, choice, out);
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

/** Stretches of a phase that begins exactly there, by its calendar alone; null when its flow does not allow it. */
export function stretchesFrom(
  phase: DensePhase,
  calendar: WorkCalendar,
  begin: number,
  minutes: number,
  setup: number,
  pieces: number,
): number[] | null {
  const i = stretchAt(calendar, begin);
  if (i >= calendar.count || calendar.starts[i]! > begin) return null;
  const out: number[] = [];
  return layFrom(phase, calendar, begin, i, minutes, setup, pieces, out) === IMPOSSIBLE ? null : out;
}
