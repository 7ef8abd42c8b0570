/**
 * Turns a planning problem into dense rows (model.ts). Promises the same meaning; drops nothing but names.
 * Cost: one pass over the problem plus one calendar per distinct question of "when may this work".
 */
import { present } from "../../ground/invariant.ts";
import { hasBegun, type Mode, type Operation, type Phase } from "../../orders/operation.ts";
import { type Family, setupMinutes } from "../../plant/setup.ts";
import type { Problem } from "../../problem/problem.ts";
import { findBlocks, topologicalOrder } from "./blocks.ts";
import { lagPairs } from "./lag-pairs.ts";
import { leanRows } from "./lean-rows.ts";
import { leastOfMode, leastTails } from "./least-time.ts";
import {
  type CrewChoice,
  type DenseItem,
  type DenseLink,
  type DenseMachine,
  type DenseMode,
  type DenseOp,
  type DenseOrder,
  type DensePhase,
  type DenseRule,
  type DenseSpan,
  type DoneWork,
  FAR,
  type Model,
  NONE,
  PAUSABLE,
  PIECEWISE,
  phaseMinutes,
  SOLID,
  usesOf,
} from "./model.ts";
import { compileWorkCalendar } from "./work-calendar.ts";
import { createWorkables } from "./workable.ts";

/** More combinations of crews than this are not tried for one phase (the first ones in the order of the crews are). */
const CREW_CHOICES_MOST = 24;

/**
 * Equal short lists are one list: most phases draw nothing and most operations hold no kit, and a decode that touches thousands of
 * lists of its own waits for memory longer than it computes.
 */
function createShared(): (list: readonly number[]) => readonly number[] {
  const known = new Map<string, readonly number[]>();
  return (list) => {
    const key = list.join();
    const same = known.get(key);
    if (same !== undefined) return same;
    known.set(key, list);
    return list;
  };
}

/** The minute as a small integer: one that a calculation left as a floating-point number would make every sum with it one. */
const small = (minute: number): number => Math.max(-FAR, Math.min(FAR, minute)) | 0;

/** One empty list for all, for the same reason. */
const NOTHING: readonly never[] = [];
const orNothing = <T>(list: readonly T[]): readonly T[] => (list.length === 0 ? NOTHING : list);

const indexById = <T extends { readonly id: string }>(list: readonly T[]): Map<string, number> =>
  new Map(list.map((entry, index) => [entry.id, index]));

export function buildModel(problem: Problem): Model {
  const machineOfId = indexById(problem.machines);
  const crewOfId = indexById(problem.crews);
  const supplyOfId = indexById(problem.supplies);
  const kitOfId = indexById(problem.kits);
  const orderOfId = indexById(problem.orders);
  const opOfId = indexById(problem.operations);
  const at = (map: Map<string, number>, id: string): number => present(map.get(id), id);
  const workable = createWorkables(problem);
  const shared = createShared();

  const families = denseFamilies(problem, machineOfId);
  const calibrationNames = new Map<string, number>();
  const calibrationName = (name: string): number => {
    const known = calibrationNames.get(name);
    if (known !== undefined) return known;
    calibrationNames.set(name, calibrationNames.size);
    return calibrationNames.size - 1;
  };
  const rules: DenseRule[] = problem.runHourRules.map((rule, index) => ({
    index,
    id: rule.id,
    machine: at(machineOfId, rule.machine),
    counter: rule.counter,
    limit: rule.limit,
    ops: rule.operations.map((id) => at(opOfId, id)),
  }));
  const machines: DenseMachine[] = problem.machines.map((machine, index) => ({
    index,
    id: machine.id,
    ...families.tables[index]!,
    calibrations: machine.calibrations.map((entry) => ({
      name: calibrationName(entry.name),
      due: entry.due,
      interval: entry.interval,
    })),
    rules: rules.filter((rule) => rule.machine === index).map((rule) => rule.index),
  }));

  let modeCount = 0;
  let phaseCount = 0;
  /** Phases that ask for the same people, machines and supplies share one list. */
  const knownChoices = new Map<string, readonly CrewChoice[]>();
  const choicesOf = (phase: Phase, mode: Mode, operation: Operation, modeMachines: readonly number[]): readonly CrewChoice[] => {
    let key = `${modeMachines.join()}|${mode.calendar ?? ""}|${operation.selfStart ? "!" : (operation.startSkill ?? "*")}`;
    for (const need of phase.needs) key += `|${need.skill}=${need.amount}`;
    for (const draw of phase.draws) key += `|${draw.supply}~${draw.amount}`;
    const known = knownChoices.get(key);
    if (known !== undefined) return known;
    const made = crewChoices(phase, mode, operation, modeMachines);
    knownChoices.set(key, made);
    return made;
  };
  const crewChoices = (phase: Phase, mode: Mode, operation: Operation, modeMachines: readonly number[]): CrewChoice[] => {
    const supplySum = new Map<number, number>();
    for (const draw of phase.draws)
      supplySum.set(at(supplyOfId, draw.supply), (supplySum.get(at(supplyOfId, draw.supply)) ?? 0) + draw.amount);
    const unattended = phase.needs.length === 0 && modeMachines.length > 0;
    const offers = phase.needs.map((need) =>
      problem.crews.flatMap((crew, index) => (crew.skills.includes(need.skill) ? [index] : [])),
    );
    let combinations: number[][] = [[]];
    for (const offer of offers)
      combinations = combinations.flatMap((head) => offer.map((crew) => [...head, crew])).slice(0, CREW_CHOICES_MOST * 4);
    const drawn = [...supplySum.keys()].filter((supply) => supplySum.get(supply)! > 0);
    const draws = drawn.map((supply) => supplySum.get(supply)!);
    const choices: CrewChoice[] = [];
    for (const crewOfNeed of combinations) {
      const sums = new Map<number, number>();
      crewOfNeed.forEach((crew, need) => {
        sums.set(crew, (sums.get(crew) ?? 0) + phase.needs[need]!.amount);
      });
      const crews = shared([...sums.keys()].sort((a, b) => a - b));
      const amounts = shared(crews.map((crew) => sums.get(crew)!));
      const calendar = workable({
        machines: modeMachines,
        calendar: mode.calendar,
        crews,
        amounts,
        supplies: [...supplySum.keys()],
        draws: [...supplySum.values()],
        unattended,
        starters: unattended && !operation.selfStart ? { skill: operation.startSkill } : null,
      });
      if (calendar.count > 0 && choices.length < CREW_CHOICES_MOST)
        choices.push({
          index: choices.length,
          crewOfNeed,
          crews,
          amounts,
          uses: shared(usesOf(problem.crews.length, crews, amounts, drawn, draws)),
          calendar,
        });
    }
    return choices;
  };
  const denseMode = (mode: Mode, operation: Operation, op: number): DenseMode => {
    const modeMachines = shared(mode.machines.map((id) => at(machineOfId, id)));
    const unattendedOnMachine = (phase: Phase) => phase.needs.length === 0 && modeMachines.length > 0;
    const phases: DensePhase[] = mode.phases.map((phase) => {
      const sums = new Map<number, number>();
      for (const draw of phase.draws)
        if (draw.amount > 0) sums.set(at(supplyOfId, draw.supply), (sums.get(at(supplyOfId, draw.supply)) ?? 0) + draw.amount);
      return {
        index: phaseCount++,
        isPrepare: phase.kind === "prepare",
        isRun: phase.kind === "run",
        // whole pieces of fixed work: one piece
        flow:
          phase.flow === "solid" || (phase.flow === "piecewise" && phase.work.kind === "fixed")
            ? SOLID
            : phase.flow === "pausable"
              ? PAUSABLE
              : PIECEWISE,
        minutes: phase.work.kind === "fixed" ? phase.work.minutes : NONE,
        secondsPerPiece: phase.work.kind === "fixed" ? 0 : phase.work.seconds,
        maxWait: phase.maxWait ?? FAR,
        wantsStarter: unattendedOnMachine(phase) && !operation.selfStart,
        supplies: shared([...sums.keys()]),
        draws: shared([...sums.values()]),
        choices: choicesOf(phase, mode, operation, modeMachines),
      };
    });
    const denseFamily = shared(
      mode.families.map((family, i) => (family === null ? NONE : families.rowOf(modeMachines[i]!, family))),
    );
    const works = (phase: DensePhase): boolean => phase.minutes !== 0;
    return {
      index: modeCount++,
      op,
      machines: modeMachines,
      families: denseFamily,
      machineSet: [...modeMachines].sort((a, b) => a - b).join(),
      hasSetup: denseFamily.some((family, i) => family >= 0 && families.tables[modeMachines[i]!]!.setupSize > 0),
      phases,
      impossible: phases.some((phase) => works(phase) && phase.choices.length === 0),
    };
  };

  const links: DenseLink[] = problem.links.map((link, index) => ({
    index,
    from: at(opOfId, link.from),
    to: at(opOfId, link.to),
    kind: link.kind,
    minLag: link.kind === "lag" ? small(link.minLag) : 0,
    maxLag: link.kind === "lag" ? small(link.maxLag ?? FAR) : FAR,
    pieces: link.kind === "transfer" ? link.pieces : 0,
  }));
  const spans: DenseSpan[] = problem.kitSpans.map((span, index) => ({
    index,
    kit: at(kitOfId, span.kit),
    count: span.count,
    from: at(opOfId, span.from),
    to: at(opOfId, span.to),
  }));
  const perOp = <T>(): T[][] => problem.operations.map(() => []);
  const before = perOp<DenseLink>();
  const after = perOp<DenseLink>();
  const alike = perOp<DenseLink>();
  const spansOf = perOp<DenseSpan>();
  for (const link of links) {
    (link.kind === "sameMachine" ? alike : after)[link.from]!.push(link);
    (link.kind === "sameMachine" ? alike : before)[link.to]!.push(link);
  }
  for (const span of spans) for (const op of new Set([span.from, span.to])) spansOf[op]!.push(span);
  const topological = topologicalOrder(problem.operations.length, links);
  const blocks = findBlocks(problem.operations.length, links, spans, topological);
  const published = new Map((problem.published?.operations ?? []).map((planned) => [planned.operation, planned.lots]));
  const ruleOf = new Map<number, { readonly rule: number; readonly rank: number }>();
  for (const rule of rules) for (const [rank, op] of rule.ops.entries()) ruleOf.set(op, { rule: rule.index, rank });

  const items: DenseItem[] = [];
  const done: DoneWork[] = [];
  const ops: DenseOp[] = problem.operations.map((operation, index) => {
    const modes = operation.modes.map((mode) => denseMode(mode, operation, index));
    const order = problem.orders[at(orderOfId, operation.order)]!;
    const { progress } = operation;
    let donePieces = 0;
    let doneEnd = NONE - FAR;
    let doneStart = FAR;
    for (const lot of progress.done) {
      donePieces += lot.pieces;
      doneEnd = Math.max(doneEnd, lot.end);
      doneStart = Math.min(doneStart, lot.start);
      const mode = present(
        operation.modes.findIndex((candidate) => candidate.id === lot.mode),
        lot.mode,
      );
      done.push({ op: index, mode: modes[mode]!, pieces: lot.pieces, start: lot.start, end: lot.end });
    }
    const runningPieces = progress.running.reduce((sum, { pieces }) => sum + pieces, 0);
    const freePieces = Math.max(0, operation.pieces - donePieces - runningPieces);
    const finished = progress.done.length > 0 && donePieces >= operation.pieces && progress.running.length === 0;
    const lotsUsed = progress.done.length + progress.running.length;
    const lotsMost = operation.split ? Math.max(1, operation.split.lots - lotsUsed) : 1;
    const mine: number[] = [];
    for (const running of progress.running) mine.push(items.push({ index: items.length, op: index, running }) - 1);
    if (freePieces > 0 && !finished)
      for (let lot = 0; lot < lotsMost; lot++) mine.push(items.push({ index: items.length, op: index, running: null }) - 1);
    const publishedLots = hasBegun(progress) ? [] : (published.get(operation.id) ?? []);
    const firstStart = publishedLots[0]?.start ?? 0;
    const ahead = firstStart - problem.now;
    return {
      index,
      id: operation.id,
      source: operation,
      order: at(orderOfId, operation.order),
      modes,
      items: mine,
      release: small(order.release),
      windowStart: small(operation.window.start ?? -FAR),
      windowEnd: small(operation.window.end ?? FAR),
      prepareEarly: operation.prepareEarly,
      kits: shared(operation.kits.map((hold) => at(kitOfId, hold.kit))),
      kitCounts: shared(operation.kits.map((hold) => hold.count)),
      needsCalibrations: shared(operation.needsCalibrations.map(calibrationName)),
      calibrates: shared(operation.calibrates.map(calibrationName)),
      before: orNothing(before[index]!),
      byTransfer: before[index]!.some((link) => link.kind === "transfer"),
      givesPieces: after[index]!.some((link) => link.kind === "transfer"),
      readyAt: 0,
      followsDone: false,
      after: orNothing(after[index]!),
      alike: orNothing(alike[index]!),
      spans: orNothing(spansOf[index]!),
      pinnedSet: operation.pin?.machines
        ? operation.pin.machines
            .map((id) => at(machineOfId, id))
            .sort((a, b) => a - b)
            .join()
        : null,
      pinnedStart: operation.pin?.start ?? NONE,
      freePieces,
      donePieces,
      lotsMost,
      lotPiecesLeast: operation.split?.minPieces ?? operation.pieces,
      doneEnd: progress.done.length > 0 ? small(doneEnd) : NONE,
      doneStart: progress.done.length > 0 ? small(doneStart) : NONE,
      finished,
      published: orNothing(publishedLots),
      nearness: publishedLots.length === 0 ? 0 : ahead < 1440 ? 4 : ahead < 7200 ? 2 : 1,
      rule: ruleOf.get(index)?.rule ?? NONE,
      ruleRank: ruleOf.get(index)?.rank ?? NONE,
      block: orNothing(blocks[index]!),
      tail: 0,
    };
  });
  const orderOf = ops.map((op) => op.order);
  const leastByMode = new Float64Array(modeCount);
  for (const op of ops)
    if (!op.finished && op.freePieces > 0)
      for (const mode of op.modes) leastByMode[mode.index] = leastOfMode(mode, op.freePieces, problem.now);
  const least = Float64Array.from(ops, (op) => {
    if (op.finished || op.prepareEarly || op.rule !== NONE || op.freePieces === 0 || op.modes.length === 0) return 0;
    const pieces = op.lotsMost > 1 ? Math.min(op.freePieces, op.lotPiecesLeast) : op.freePieces;
    const leastIn = (mode: DenseMode): number =>
      pieces === op.freePieces ? leastByMode[mode.index]! : leastOfMode(mode, pieces, problem.now);
    return op.modes.reduce((shortest, mode) => Math.min(shortest, leastIn(mode)), FAR);
  });
  // what may stay unplanned asks for no time
  const sure = links.filter((link) => ops[link.to]!.rule === NONE && !ops[link.to]!.finished);
  const tails = leastTails(ops.length, sure, orderOf, least, topological);
  for (const op of ops) {
    const doneBefore = op.before.filter((link) => link.kind === "lag" && ops[link.from]!.doneEnd !== NONE);
    Object.assign(op, {
      tail: small(tails[op.index]!),
      readyAt: small(doneBefore.reduce((ready, link) => Math.max(ready, ops[link.from]!.doneEnd + link.minLag), op.release)),
      followsDone: doneBefore.length > 0,
    });
  }

  const opsOfOrder: number[][] = problem.orders.map(() => []);
  for (const op of ops) opsOfOrder[op.order]!.push(op.index);
  const orders: DenseOrder[] = problem.orders.map((order, index) => {
    const mine = opsOfOrder[index]!;
    return {
      index,
      id: order.id,
      ops: mine,
      due: small(order.due ?? FAR),
      deadline: small(order.deadline ?? FAR),
      weight: order.weight,
      flowFrom: small(Math.max(order.release, 0)),
      aloneEnd: small(
        mine.reduce((latest, op) => {
          const { finished, rule, release } = ops[op]!;
          return finished || rule !== NONE ? latest : Math.max(latest, Math.max(release, problem.now) + least[op]! + tails[op]!);
        }, -FAR),
      ),
      doneEnd: mine.reduce((latest, op) => (ops[op]!.doneEnd === NONE ? latest : Math.max(latest, ops[op]!.doneEnd)), -FAR),
      finished: mine.every((op) => ops[op]!.finished),
    };
  });

  return {
    problem,
    now: small(problem.now),
    horizon: small(problem.horizon),
    machines,
    ops,
    items,
    orders,
    links,
    earlier: lagPairs(
      ops,
      (op) => op.before,
      (link) => link.from,
    ),
    later: lagPairs(
      ops,
      (op) => op.after,
      (link) => link.to,
    ),
    spans,
    rules,
    done,
    opOfId,
    crewOfId,
    headcounts: problem.crews.map((crew) => crew.headcount),
    amounts: problem.supplies.map((supply) => supply.amount),
    kitCounts: problem.kits.map((kit) => kit.count),
    lean: leanRows(ops, machines, small(problem.now), leastByMode),
    anyUnsocial: problem.crews.some((crew) => crew.unsocial.length > 0),
    unsocial: problem.crews.map((crew) => compileWorkCalendar(crew.unsocial, null, null)),
    leastOfMode: leastByMode,
    workOfMode: Int32Array.from(
      ops.flatMap((op) =>
        op.modes.map((mode) => mode.phases.reduce((sum, phase) => sum + phaseMinutes(phase, op.freePieces), 0)),
      ),
    ),
    topological,
  };
}

/** Families as dense numbers of their machine, with the setup minutes between all of them. */
function denseFamilies(problem: Problem, machineOfId: Map<string, number>) {
  const rows: Map<Family, number>[] = problem.machines.map((machine) => {
    const map = new Map<Family, number>();
    if (machine.family !== null) map.set(machine.family, 0);
    return map;
  });
  for (const operation of problem.operations) {
    for (const mode of operation.modes) {
      mode.families.forEach((family, i) => {
        const row = rows[present(machineOfId.get(mode.machines[i]!), "machine")]!;
        if (family !== null && !row.has(family)) row.set(family, row.size);
      });
    }
  }
  const tables = problem.machines.map((machine, index) => {
    const list = [...rows[index]!.keys()];
    const size = machine.setup.kind === "none" ? 0 : list.length;
    const setup = new Int32Array(size * size);
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < size; j++) setup[i * size + j] = setupMinutes(machine.setup, list[i]!, list[j]!);
    }
    return { setupSize: size, setup, standsIn: machine.family === null ? NONE : 0 };
  });
  return { tables, rowOf: (machine: number, family: Family): number => present(rows[machine]!.get(family), "family") };
}
