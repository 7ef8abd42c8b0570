/**
 * Why an order cannot be complete before the minute that soonest.ts gives: the reasons of its last work, in the shop without all that
 * may give way, and from there back along the links to a root: a date, a calendar, or work that runs or is frozen. Each reason is one
 * that why-here.ts gives: with it taken away the work may start earlier. Of several the one nearest to the start is told. Cost: one
 * why-here for each step.
 */
import { totalMinutes } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { sayDuration, sayMinutes } from "../check/wording.ts";
import { hasBegun, type OperationId } from "../orders/operation.ts";
import type { Soonest } from "../plan/soonest.ts";
import { nameOf, withSentence } from "./reason.ts";
import { whyHere } from "./why-here.ts";

export type SoonestStep = {
  readonly operation: OperationId;
  readonly start: Minute;
  readonly end: Minute;
  readonly sentence: string;
};

const STEPS_MAX = 25;
/** Standing work that is told where several pieces of it are in the way. */
const STANDING_MAX = 2;

/** From the last work back to the root; empty where it has no place at all. */
export function whyNotSooner({ finish, alone }: Soonest): readonly SoonestStep[] {
  const { problem, plan, chain } = alone;
  if (finish === null) return [];
  const naming = { problem, at: sayMinutes(problem) };
  const steps: SoonestStep[] = [];
  const tell = (operation: OperationId, said: string): void => {
    const lots = plan.operations.find((planned) => planned.operation === operation)?.lots ?? [];
    const [start, end] = [lots[0]?.start ?? problem.now, lots.at(-1)?.end ?? problem.now];
    steps.push({ ...{ operation, start, end }, sentence: `${nameOf(problem, operation)}: ${said}` });
  };
  for (const [i, id] of chain.slice(0, STEPS_MAX).entries()) {
    const lots = plan.operations.find((planned) => planned.operation === id)?.lots;
    const lot = lots?.at(-1);
    const why = lots === undefined ? null : whyHere(problem, plan, id, lots.length - 1);
    if (lot === undefined || why === null) break;
    const nearest = why.bindings.toSorted((a, b) => b.earlier - a.earlier || a.reasons.length - b.reasons.length)[0];
    const all = why.fact !== null ? [why.fact] : (nearest?.reasons ?? []);
    // what begins now is held by nothing else
    const now = all.filter(({ kind }) => kind === "now");
    const reasons = now.length > 0 ? now : all;
    const works = totalMinutes(lot.phases.flatMap(({ work }) => work));
    const lasts = lot.end - lot.start;
    const mode = problem.operations.find((operation) => operation.id === id)?.modes.find((one) => one.id === lot.mode);
    const prepares = totalMinutes(lot.phases.flatMap(({ phase, work }) => (mode?.phases[phase]?.kind === "prepare" ? work : [])));
    const setUp = prepares > 0 ? `, ${sayDuration(prepares)} of it to prepare and set up,` : "";
    const rests = works > 0 && lasts > works ? `It works ${sayDuration(works)}${setUp} and lasts ${sayDuration(lasts)}.` : "";
    tell(id, [reasons.map(({ sentence }) => sentence).join(" And: "), rests].filter((part) => part !== "").join(" "));
    const named = reasons.flatMap(({ operations }) => operations);
    const standing = named.filter((other) => !chain.includes(other)).slice(0, STANDING_MAX);
    for (const other of standing) {
      const begun = problem.operations.some((operation) => operation.id === other && hasBegun(operation.progress));
      const kind = begun ? "running" : "frozen";
      tell(other, withSentence({ kind, operations: [], resource: null, interval: null }, naming).sentence);
    }
    const next = chain[i + 1];
    if (next === undefined || !named.includes(next)) break;
  }
  return steps;
}
