/**
 * phaseOrder, phaseWait, wrongWork, setupShort, crewNotOffered: each phase of a lot is there, in its order, as long as it
 * takes, soon enough after the one before it, and served by crews that have the skills. One conflict for each phase.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { Lot, PhaseOfLot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration, sayPhase } from "./wording.ts";

export function checkPhases(scene: Scene, lot: Lot): void {
  if (lot.mode === null) return;
  for (const phase of lot.phases) {
    checkWork(scene, phase);
    checkPlace(scene, phase);
    checkServedBy(scene, phase);
  }
  checkNothingElse(scene, lot);
  checkEnds(scene, lot);
}

const called = ({ phase }: PhaseOfLot): string => sayPhase(phase.kind);

const whereOf = ({ lot, span }: PhaseOfLot): Interval => span ?? [lot.start, lot.start];

/** As long as it takes. A prepare too short for its setup is setupShort and nothing else. */
function checkWork(scene: Scene, phase: PhaseOfLot): void {
  const wanted = scene.wanted(phase);
  const { lot, worked } = phase;
  if (worked === wanted) return;
  const setup = wanted - phase.ownMinutes;
  const kind = setup > 0 && worked < wanted ? "setupShort" : "wrongWork";
  const needed = setup > 0 ? `${sayDuration(wanted)}, ${sayDuration(setup)} of it setup` : sayDuration(wanted);
  const sentence = `${called(phase)} of ${scene.name(lot.operation)} at ${scene.at(whereOf(phase)[0])} works ${sayDuration(worked)}, but it takes ${needed}.`;
  scene.write(conflictOf(kind, [lot.operation.id], null, whereOf(phase), Math.abs(wanted - worked), sentence));
}

/** At or after the end of the one before it, and within its longest wait. A running lot's current phase has begun long ago. */
function checkPlace(scene: Scene, phase: PhaseOfLot): void {
  const { lot, span, current, endBefore } = phase;
  if (span === null || current || endBefore === null) return;
  const [start] = span;
  const { maxWait } = phase.phase;
  if (start >= endBefore && (maxWait === null || start - endBefore <= maxWait)) return;
  const who = `${called(phase)} of ${scene.name(lot.operation)}`;
  if (start < endBefore) {
    const sentence = `${who} begins at ${scene.at(start)}, before the phase before it ends at ${scene.at(endBefore)}.`;
    scene.write(conflictOf("phaseOrder", [lot.operation.id], null, [start, endBefore], endBefore - start, sentence));
  }
  if (maxWait !== null && start - endBefore > maxWait) {
    const sentence = `${who} begins at ${scene.at(start)}, ${sayDuration(start - endBefore)} after the phase before it; it may wait ${sayDuration(maxWait)}.`;
    scene.write(
      conflictOf("phaseWait", [lot.operation.id], null, [endBefore + maxWait, start], start - endBefore - maxWait, sentence),
    );
  }
}

/** One crew for each need, with its skill. */
function checkServedBy({ look, at, name, write }: Scene, phase: PhaseOfLot): void {
  const { lot, crews, span } = phase;
  const { needs } = phase.phase;
  if (span === null) return;
  if (needs.length === 0 && crews.length === 0) return;
  const wrong = needs.find(({ skill }, i) => look.crews.get(crews[i] ?? "")?.skills.includes(skill) !== true);
  if (wrong === undefined && crews.length === needs.length) return;
  const reason =
    wrong === undefined ? "is given more crews than it needs" : `is not given a crew with the skill "${wrong.skill}"`;
  const sentence = `${called(phase)} of ${name(lot.operation)} at ${at(span[0])} ${reason}.`;
  write(conflictOf("crewNotOffered", [lot.operation.id], null, span, span[1] - span[0], sentence));
}

/** The plan works no phase that the mode does not have, has behind it, or has already been given. */
function checkNothingElse({ at, name, write }: Scene, lot: Lot): void {
  const planned = lot.planned?.phases ?? [];
  const begin = lot.mode === null ? 0 : lot.mode.phases.length - lot.phases.length;
  // Rising phases that are all left to do: nothing is listed that should not be.
  if (
    planned.every(
      ({ phase }, i) =>
        phase >= begin &&
        phase < begin + lot.phases.length &&
        (i === 0 || phase > (planned[i - 1]?.phase ?? phase)) &&
        Number.isInteger(phase),
    )
  )
    return;
  const open = new Set(lot.phases.map(({ index }) => index));
  for (const { phase, work } of planned) {
    const first = work[0];
    if (open.delete(phase) || first === undefined) continue;
    const minutes = work.reduce((sum, [start, end]) => sum + end - start, 0);
    const sentence = `${name(lot.operation)} works ${sayDuration(minutes)} at ${at(first[0])} in a phase that is not left to do.`;
    write(conflictOf("wrongWork", [lot.operation.id], null, first, minutes, sentence));
  }
}

/** A lot lasts from its first worked minute to its last; a lot without work is an instant. */
function checkEnds({ problem, at, name, write }: Scene, lot: Lot): void {
  let [begins, ends]: [Minute, Minute] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { span } of lot.phases) {
    if (span === null) continue;
    begins = Math.min(begins, span[0]);
    ends = Math.max(ends, span[1]);
  }
  const works = begins < ends;
  const start = lot.state === "running" || !works ? lot.start : begins;
  const end = works ? ends : lot.state === "running" ? problem.now : lot.start;
  const wrong = Math.abs(lot.start - start) + Math.abs(lot.end - end);
  if (wrong === 0) return;
  const sentence = `${name(lot.operation)} is said to last from ${at(lot.start)} to ${at(lot.end)}, but its work lasts from ${at(start)} to ${at(end)}.`;
  write(
    conflictOf("phaseOrder", [lot.operation.id], null, [Math.min(lot.start, start), Math.max(lot.end, end)], wrong, sentence),
  );
}
