/**
 * Why a lot starts when it does. A binding is a smallest set of reasons with the promise: with these taken away, and nothing else
 * changed, the lot may start earlier without any new conflict (a place is given); with any one of them left, not at that place.
 * Reasons are read from the checker's conflicts at trial places before the start: same mode, all other work fixed. A choice is an
 * earlier place that nothing forbids: the plan starts it later because it costs less that way, or has not looked.
 * Tried are the minute before the start and the minutes at which something relevant begins or ends, nearest first, up to a limit:
 * "no choice" therefore means none found there. Cost: some hundred checks of the lot's neighbourhood.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import { frozenWork } from "../check/frozen.ts";
import { lookUp } from "../check/look-up.ts";
import { isDone } from "../check/lots.ts";
import { sayDuration, sayMinutes } from "../check/wording.ts";
import type { Mode, Operation, OperationId } from "../orders/operation.ts";
import type { CrewId } from "../plant/crew.ts";
import { COST_PARTS, type CostPart } from "../problem/objective.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type CalendarItem, calendarItems, missed } from "./calendar-reason.ts";
import { type Naming, type Reason, reasonOf, withSentence } from "./reason.ts";
import { leftOut, problemKey, type Relaxed, relax, relaxedProblem } from "./relaxation.ts";
import { type CrewChoice, neighbourhood, type Trial, tryAt, withLot } from "./trial-place.ts";

export type Binding = {
  readonly reasons: readonly Reason[];
  /** Without these reasons the lot may start here. */
  readonly earlier: Minute;
  readonly lot: PlannedLot;
};

export type EarlierChoice = {
  readonly earlier: Minute;
  readonly lot: PlannedLot;
  /** Weighted cost with it there, less that of the plan. */
  readonly costMore: number;
  readonly partsMore: Readonly<Record<CostPart, number>>;
  readonly otherCrews: boolean;
  readonly sentence: string;
};

export type WhyHere = {
  readonly operation: OperationId;
  /** Index among the planned lots. */
  readonly lot: number;
  readonly start: Minute;
  readonly end: Minute;
  /** Running or done: its start is a fact. */
  readonly fact: Reason | null;
  /** Fewest reasons first, then nearest to the start. */
  readonly bindings: readonly Binding[];
  readonly choice: EarlierChoice | null;
  /** The whole answer, a sentence each. */
  readonly sentences: readonly string[];
};

const TRIALS_MAX = 60;
const CALENDAR_TRIALS_MAX = 12;
const CREW_TRIALS_MAX = 6;
const CREW_CHOICES_MAX = 8;
const ROUNDS_MAX = 6;
const REASONS_MAX = 4;
const BINDINGS_MAX = 6;

export function whyHere(problem: Problem, plan: Plan, operation: OperationId, lotIndex = 0): WhyHere | null {
  const source = problem.operations.find(({ id }) => id === operation);
  const lot = plan.operations.find((planned) => planned.operation === operation)?.lots[lotIndex];
  if (source === undefined) return null;
  if (lot === undefined || isDone(source)) return isDone(source) ? whyDone(source) : null;
  const naming: Naming = { problem, at: sayMinutes(problem) };
  const base = { operation, lot: lotIndex, start: lot.start, end: lot.end };
  if (lotIndex < source.progress.running.length) {
    const fact = withSentence({ kind: "running", operations: [], resource: null, interval: null }, naming);
    return { ...base, fact, bindings: [], choice: null, sentences: [fact.sentence] };
  }
  const mode = source.modes.find(({ id }) => id === lot.mode);
  if (mode === undefined) return { ...base, fact: null, bindings: [], choice: null, sentences: ["Its mode is not offered."] };
  const whole: Relaxed = { problem, plan, kept: frozenWork(problem).kept };
  const starts = trialStarts(whole, operation, mode, lot);
  const farthest = starts.at(-1) ?? lot.start;
  const shop = neighbourhood(whole, operation, mode, farthest, lot.end);
  const search = createSearch(shop, source, lot, farthest, naming);
  const bindings: Binding[] = [];
  let free: { trial: Trial; otherCrews: boolean } | null = null;
  for (const start of starts) {
    const found = search.at(start, []);
    if (found === null) continue;
    if (found.reasons.length === 0) {
      // One that ends earlier says more than one that merely waits.
      if (free === null || (free.trial.lot.end >= lot.end && found.lot.end < lot.end))
        free = { trial: { lot: found.lot, conflicts: [] }, otherCrews: false };
    } else bindings.push(found);
  }
  if (free === null) free = search.withOtherCrews(starts.slice(0, CREW_TRIALS_MAX), mode);
  const items = calendarItems(problem, source, mode, lot, [farthest, lot.end], naming);
  const openings = [...items.map((item) => [item]), ...(items.length > 1 ? [items] : [])];
  for (const opened of openings) {
    for (const start of starts.slice(0, CALENDAR_TRIALS_MAX)) {
      const found = search.at(start, opened);
      if (found !== null && found.reasons.length > 0) bindings.push(found);
    }
  }
  const best = smallest(bindings);
  const choice = free === null ? null : choiceOf(problem, plan, operation, lot, free.trial.lot, free.otherCrews);
  return { ...base, fact: null, bindings: best, choice, sentences: sentencesOf(best, choice) };
}

function whyDone({ id, progress }: Operation): WhyHere | null {
  const first = progress.done[0];
  const last = progress.done.at(-1);
  if (first === undefined || last === undefined) return null;
  const fact: Reason = { kind: "done", operations: [], resource: null, interval: null, sentence: "It is done." };
  return {
    ...{ operation: id, lot: 0, start: first.start, end: last.end },
    fact,
    bindings: [],
    choice: null,
    sentences: ["It is done."],
  };
}

/** The minute before the start, and those at which the lot or one of its phases would meet a begin or an end; nearest first. */
function trialStarts({ problem, plan }: Relaxed, operation: OperationId, mode: Mode, lot: PlannedLot): readonly Minute[] {
  const least = Math.min(problem.now, lot.start) - 1;
  const events = new Set<Minute>();
  const add = (minute: Minute): void => {
    if (minute > least && minute <= lot.end) events.add(minute);
  };
  const machines = new Set(mode.machines);
  const crews = new Set(lot.phases.flatMap((phase) => phase.crews));
  const { operations, machines: machineOf, crews: crewOf } = lookUp(problem);
  for (const planned of plan.operations) {
    const other = operations.get(planned.operation);
    const near = problem.links.some(({ from, to }) => to === operation && from === planned.operation);
    for (const placed of planned.lots) {
      if (placed === lot || placed.start > lot.end || placed.end < least) continue;
      const onMachine = other?.modes.find(({ id }) => id === placed.mode)?.machines.some((id) => machines.has(id)) === true;
      if (onMachine || near || (other?.kits.length ?? 0) > 0) for (const minute of [placed.start, placed.end]) add(minute);
      for (const phase of placed.phases) {
        const shared =
          phase.crews.some((crew) => crews.has(crew)) ||
          (mode.phases.some(({ draws }) => draws.length > 0) && phase.work.length > 0);
        if (shared)
          for (const [from, until] of [phase.work[0], phase.work.at(-1)] as Interval[])
            for (const minute of [from, until]) add(minute);
      }
    }
  }
  for (const link of problem.links) {
    if (link.kind !== "lag" || link.to !== operation) continue;
    for (const before of plan.operations.find((planned) => planned.operation === link.from)?.lots ?? [])
      add(before.end + link.minLag);
  }
  for (const id of machines) for (const edge of machineOf.get(id)?.open.flat() ?? []) add(edge);
  for (const id of crews) for (const edge of crewOf.get(id)?.headcount.at ?? []) add(edge);
  const offsets = new Set([0, lot.end - lot.start]);
  for (const { work } of lot.phases) {
    offsets.add((work[0]?.[0] ?? lot.start) - lot.start);
    offsets.add((work.at(-1)?.[1] ?? lot.start) - lot.start);
  }
  const starts = new Set([lot.start - 1]);
  for (const event of events) {
    for (const offset of offsets) starts.add(event - offset);
    starts.add(event - 1);
  }
  return [...starts]
    .filter((start) => start >= least && start < lot.start)
    .sort((a, b) => b - a)
    .slice(0, TRIALS_MAX);
}

type Search = {
  /** The smallest set of reasons that must go for the lot to start there, calendars opened or not; null: no place there. */
  readonly at: (start: Minute, opened: readonly CalendarItem[]) => Binding | null;
  readonly withOtherCrews: (starts: readonly Minute[], mode: Mode) => { trial: Trial; otherCrews: boolean } | null;
};

function createSearch(shop: Relaxed, source: Operation, lot: PlannedLot, farthest: Minute, naming: Naming): Search {
  const operation = source.id;
  const problems = new Map<string, Problem>();
  const shops = new Map<string, Relaxed>();
  /** Relaxed shops are shared, since what the rules look up is remembered by problem. */
  const relaxed = (reasons: readonly Reason[]): Relaxed => {
    if (reasons.length === 0) return shop;
    const key = problemKey(reasons);
    const whole = `${key}\n\n${[...leftOut(operation, reasons)].sort().join("\n")}`;
    const known = shops.get(whole);
    if (known !== undefined) return known;
    let problem = problems.get(key);
    if (problem === undefined) {
      problem = key === "" ? shop.problem : relaxedProblem(shop.problem, operation, reasons, farthest);
      problems.set(key, problem);
    }
    const made = { ...relax(shop, operation, reasons, farthest), problem };
    shops.set(whole, made);
    return made;
  };
  const trial = (start: Minute, reasons: readonly Reason[]): Trial | null => tryAt(relaxed(reasons), operation, lot, start);
  const seen = new Set<string>();

  const at = (start: Minute, opened: readonly CalendarItem[]): Binding | null => {
    let reasons: readonly Reason[] = opened.map((item) => item.reason);
    let found = trial(start, reasons);
    if (found === null) return null;
    // The same obstacles farther away say nothing new.
    const key = JSON.stringify([
      opened.map((item) => [item.reason.kind, item.reason.resource]),
      found.conflicts.map((conflict) => [conflict.kind, conflict.resource, conflict.operations]),
    ]);
    if (seen.has(key) && found.conflicts.length > 0) return null;
    seen.add(key);
    if (found.conflicts.length > REASONS_MAX) return null;
    for (let round = 0; found !== null && found.conflicts.length > 0; round++) {
      if (round === ROUNDS_MAX) return null;
      const more: readonly Reason[] = found.conflicts.map((conflict) => reasonOf(conflict, operation, naming));
      if (more.some(({ kind }) => kind === "other" || kind === "running")) return null;
      const next = [...reasons, ...more];
      if (next.length > REASONS_MAX + opened.length + 2) return null;
      reasons = next;
      found = trial(start, reasons);
    }
    return found === null ? null : narrowed(start, reasons, opened);
  };

  /** Leaves out, one after the other, every reason and every other work without which the place is clean as well. */
  const narrowed = (start: Minute, wanted: readonly Reason[], opened: readonly CalendarItem[]): Binding | null => {
    let reasons = wanted;
    const clean = (candidate: readonly Reason[]): boolean => trial(start, candidate)?.conflicts.length === 0;
    for (const reason of [...wanted].reverse()) {
      const without = reasons.filter((other) => other !== reason);
      if (clean(without)) reasons = without;
    }
    for (const reason of reasons) {
      if (reason.operations.length < 2) continue;
      let current = reason;
      for (const id of reason.operations) {
        const fewer = withSentence({ ...current, operations: current.operations.filter((other) => other !== id) }, naming);
        if (fewer.operations.length === 0) continue;
        const candidate = reasons.map((other) => (other === current ? fewer : other));
        if (clean(candidate)) {
          reasons = candidate;
          current = fewer;
        }
      }
    }
    const last = trial(start, reasons);
    if (last === null || last.conflicts.length > 0) return null;
    const named = reasons.map((reason) => {
      const item = opened.find((candidate) => candidate.reason === reason);
      return item === undefined ? reason : missed(item, last.lot, naming);
    });
    return { reasons: named, earlier: last.lot.start, lot: last.lot };
  };

  return {
    at,
    withOtherCrews: (starts, mode) => {
      for (const choice of crewChoices(shop.problem, mode, lot)) {
        for (const start of starts) {
          const found = tryAt(shop, operation, lot, start, choice);
          if (found !== null && found.conflicts.length === 0) return { trial: found, otherCrews: true };
        }
      }
      return null;
    },
  };
}

/** The planned crews with one of them exchanged. */
function crewChoices(problem: Problem, mode: Mode, lot: PlannedLot): readonly CrewChoice[] {
  const planned = new Map<number, readonly CrewId[]>(lot.phases.map(({ phase, crews }) => [phase, crews]));
  const out: CrewChoice[] = [];
  for (const { phase, crews } of lot.phases) {
    mode.phases[phase]?.needs.forEach(({ skill }, i) => {
      for (const crew of problem.crews) {
        if (crew.id === crews[i] || !crew.skills.includes(skill)) continue;
        out.push(new Map([...planned, [phase, crews.map((id, k) => (k === i ? crew.id : id))]]));
      }
    });
  }
  return out.slice(0, CREW_CHOICES_MAX);
}

/** Sets that no other set is part of, fewest reasons first. */
function smallest(bindings: readonly Binding[]): readonly Binding[] {
  const keyed = bindings.map((binding) => ({ binding, keys: new Set(binding.reasons.flatMap(keysOf)) }));
  keyed.sort((a, b) => a.keys.size - b.keys.size || b.binding.earlier - a.binding.earlier);
  const kept: typeof keyed = [];
  for (const candidate of keyed) {
    if (!kept.some(({ keys }) => [...keys].every((key) => candidate.keys.has(key)))) kept.push(candidate);
  }
  return kept.slice(0, BINDINGS_MAX).map(({ binding }) => binding);
}

const keysOf = ({ kind, resource, operations }: Reason): string[] =>
  operations.length === 0 ? [`${kind} ${resource}`] : operations.map((id) => `${kind} ${resource} ${id}`);

function choiceOf(
  problem: Problem,
  plan: Plan,
  operation: OperationId,
  before: PlannedLot,
  lot: PlannedLot,
  otherCrews: boolean,
): EarlierChoice {
  const old = check(problem, plan).cost;
  const { cost } = check(problem, withLot(plan, operation, before, lot));
  const partsMore = { ...cost.parts };
  for (const part of COST_PARTS) partsMore[part] = cost.parts[part] - old.parts[part];
  const costMore = cost.total - old.total;
  const worse = COST_PARTS.filter((part) => partsMore[part] > 0 && problem.weights[part] > 0);
  const at = sayMinutes(problem)(lot.start);
  const crews = otherCrews ? " with other people" : "";
  const why =
    costMore > 0
      ? `the plan rates that worse (${worse.map((part) => `${PART_WORDS[part]} ${saySum(part, partsMore[part])} more`).join(", ")})`
      : costMore === 0
        ? "the plan rates both alike"
        : "the plan would even be better";
  return {
    ...{ earlier: lot.start, lot, costMore, partsMore, otherCrews },
    sentence: `Nothing forbids ${at}${crews}; ${why}.`,
  };
}

const PART_WORDS: Readonly<Record<CostPart, string>> = {
  tardiness: "tardiness",
  disturbance: "disturbance",
  waiting: "waiting",
  setup: "setup",
  unsocial: "unsocial work",
  flow: "time in the shop",
  makespan: "latest end",
  maxLateness: "largest lateness",
  lateOrders: "late orders",
};

const saySum = (part: CostPart, amount: number): string =>
  part === "waiting" || part === "setup" || part === "makespan" || part === "maxLateness" ? sayDuration(amount) : `${amount}`;

function sentencesOf(bindings: readonly Binding[], choice: EarlierChoice | null): readonly string[] {
  const out = bindings.map(({ reasons }) => reasons.map(({ sentence }) => sentence).join(" And: "));
  if (choice !== null) return [choice.sentence, ...out];
  return out.length > 0 ? out : ["Several rules at once stand in the way of every earlier start that was tried."];
}
