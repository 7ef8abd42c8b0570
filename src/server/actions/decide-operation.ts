/** Pins (what a planner has fixed) and progress (what an operator reports): both stand on the operation and change the problem, not the plan. */
import type { ProgressInput } from "../../contract/api/plan.ts";
import type { OperationInFile } from "../../contract/file/order-schema.ts";
import type { ProblemFile } from "../../contract/problem-file.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import { type Operation, type Progress, piecesBegun, type RunningLot, workMinutes } from "../../core/orders/operation.ts";
import { setupMinutes } from "../../core/plant/setup.ts";
import type { PlannedLot } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { record } from "../store/audit.ts";
import { savePin, saveProgress } from "../store/order-store.ts";
import type { Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import { acknowledged, cautionsOfOperation } from "./cautions.ts";
import { inWords } from "./dates.ts";
import { changeShop } from "./edit-shop.ts";
import { carriedOn } from "./fit-plan.ts";
import { type LotsAhead, lotsAhead } from "./lots-ahead.ts";
import type { Office } from "./planning-state.ts";
import { progressInFile } from "./progress-in-file.ts";
import { noSuch, Refused } from "./refused.ts";
import { beforeDone } from "./report-taken-back.ts";
import { correctCounters } from "./run-hours.ts";
import { settleProgress } from "./settle-progress.ts";
import { compileShop, type Shop, shopAsOfNow } from "./shop-file.ts";

type Pin = OperationInFile["pin"];

type Found = {
  readonly order: ProblemFile["orders"][number];
  readonly operation: OperationInFile;
  readonly problem: Problem;
  /** As it stands now. */
  readonly compiled: Operation;
  /** Its progress is taken from the plan, nobody reported it. */
  readonly assumed: boolean;
};

/** Everything known about one operation, in the shop as it is now. */
function findOperation(shop: Shop, id: string): Found {
  const order = shop.file.orders.find((o) => o.operations.some((operation) => operation.id === id));
  const operation = order?.operations.find((o) => o.id === id);
  const { problem, assumed } = shopAsOfNow(shop);
  const compiled = problem.operations.find((o) => o.id === id);
  if (!order || !operation || !compiled) throw noSuch("operation", id);
  return { order, operation, problem, compiled, assumed: assumed.has(id) };
}

/** Compiles the shop with the operation changed; faults are told at `pointer` of the request. */
function triedWith(shop: Shop, changed: OperationInFile, pointer: string): Problem {
  const orders = shop.file.orders.map((order) => ({
    ...order,
    operations: order.operations.map((o) => (o.id === changed.id ? changed : o)),
  }));
  try {
    return compileShop({ ...shop.file, orders });
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    throw new Refused(
      "invalid",
      error.message,
      error.faults.map(({ message }) => ({ pointer, message })),
    );
  }
}

export async function pinOperation(office: Office, actor: Actor, id: string, pin: Pin): Promise<void> {
  await changeShop(office, { type: "shop" }, async ({ store, shop }) => {
    const { order, operation } = findOperation(shop, id);
    triedWith(shop, { ...operation, pin }, "/pin");
    await savePin(store, order.id, id, pin);
    await record(store, actor.name, pin ? "pinned" : "unpinned", `operation ${id}`, { before: operation.pin, after: pin });
  });
}

export async function reportProgress(office: Office, actor: Actor, input: ProgressInput): Promise<void> {
  await changeShop(office, { type: "shop" }, async ({ store, shop, now }) => {
    const { order, operation, problem, compiled, assumed } = findOperation(shop, input.operation);
    const stands = standing(compiled, operation, assumed, input);
    const again = input.kind === "withdrawn" && !assumed ? await beforeDone(store, stands) : null;
    const ahead = lotsAhead(stands, publishedLots(shop, operation.id));
    const minute = (moment: number | string | undefined) => minuteOf(shop, operation, moment, now);
    const progress = again?.progress ?? reported({ problem, operation: stands, assumed, ahead, now, minute }, input);
    const cautions = await cautionsOfReport(store, problem, compiled, publishedLots(shop, operation.id), input);
    const written = progressInFile(progress);
    triedWith(shop, { ...operation, progress: written }, "");
    await settleProgress(store, problem, { except: [operation.id], anew: false });
    await correctCounters(store, compiled, progress);
    const saysNow = progress.running.length > 0 || input.kind === "withdrawn";
    await saveProgress(store, order.id, operation.id, written, saysNow ? (again?.at ?? now) : null);
    await record(store, actor.name, `reported ${input.kind}`, `operation ${operation.id}`, {
      ...{ at: now, before: stands.progress, after: progress },
      ...("note" in input && input.note ? { note: input.note } : {}),
      ...(cautions.length > 0 ? { cautions } : {}),
    });
  });
}

/** A start of work that needs care is reported with the name of whoever went through each checklist. */
async function cautionsOfReport(
  store: Store,
  problem: Problem,
  operation: Operation,
  lots: readonly PlannedLot[],
  input: ProgressInput,
) {
  if (input.kind !== "started") return [];
  const wanted = input.mode ?? lots[0]?.mode;
  const mode = operation.modes.find(({ id }) => id === wanted) ?? operation.modes[0];
  if (mode === undefined) return [];
  const cautions = await cautionsOfOperation(store, problem, operation, mode, lots);
  return acknowledged(cautions, input.cautions ?? [], operation.name);
}

/**
 * The operation as the report finds it. What was only assumed does not stand against a report: a start that comes late
 * begins where the stored reports left off, and work that the plan held for done is running when somebody says so.
 */
function standing(now: Operation, stored: OperationInFile, assumed: boolean, input: ProgressInput): Operation {
  if (!assumed) return now;
  const last = now.progress.done.at(-1);
  switch (input.kind) {
    case "started":
    case "withdrawn": {
      const done = now.progress.done.slice(0, stored.progress.done.length);
      const running = now.progress.running.filter(({ start, mode }) =>
        stored.progress.running.some((known) => known.start === start && known.mode === mode),
      );
      return { ...now, progress: { done, running } };
    }
    case "remaining":
    case "done": {
      if (now.progress.running.length > 0 || !last) return now;
      const mode = now.modes.find((m) => m.id === last.mode);
      const phase = Math.max(0, (mode?.phases.length ?? 1) - 1);
      const running = { mode: last.mode, pieces: last.pieces, start: last.start, phase, crews: [], remaining: 0, working: false };
      return { ...now, progress: { done: now.progress.done.slice(0, -1), running: [running] } };
    }
  }
}

const publishedLots = (shop: Shop, id: string): readonly PlannedLot[] =>
  shop.published?.operations.find((planned) => planned.operation === id)?.lots ?? [];

/** A reported moment as a minute, read by the same rules as every moment of a file. Nothing is reported from the future. */
function minuteOf(shop: Shop, operation: OperationInFile, moment: number | string | undefined, now: Minute): Minute {
  if (moment === undefined) return now;
  const window = { start: moment, end: null };
  const probe = triedWith(shop, { ...operation, window }, "/start");
  const minute = probe.operations.find((o) => o.id === operation.id)?.window.start ?? now;
  if (minute > now)
    throw new Refused("invalid", "What has not happened yet cannot be reported.", [
      { pointer: "", message: "expected a moment not after now" },
    ]);
  return minute;
}

type Standing = {
  readonly problem: Problem;
  readonly operation: Operation;
  readonly assumed: boolean;
  /** The published lots that run or come next. */
  readonly ahead: LotsAhead;
  readonly now: Minute;
  minute(moment: number | string | undefined): Minute;
};

function reported({ problem, operation, assumed, ahead, now, minute }: Standing, input: ProgressInput): Progress {
  const { done, running } = operation.progress;
  switch (input.kind) {
    case "started": {
      const left = operation.pieces - piecesBegun(operation.progress);
      if (running.length > 0 && left <= 0)
        throw new Refused("conflict", `${operation.name} is running already, since its start was reported.`);
      const lot = ahead.toBegin.find(({ mode }) => mode === input.mode) ?? ahead.toBegin[0] ?? null;
      if (done.length > 0 && left <= 0) throw new Refused("conflict", `${operation.name} is done.`);
      const start = minute(input.start);
      const begun = startedLot(problem, operation, lot, {
        mode: input.mode,
        pieces: input.pieces ?? Math.min(lot?.pieces ?? left, left),
        start,
        now,
      });
      return { done, running: [...running, begun].sort((a, b) => a.start - b.start) };
    }
    case "remaining": {
      const which = runningLot(problem, operation, input.lot);
      const known = running[which] as RunningLot;
      const phase = input.phase ?? known.phase;
      const place = ahead.running[which];
      const crews = phase === known.phase ? known.crews : (place?.phases.find((p) => p.phase === phase)?.crews ?? []);
      const changed = { ...known, phase, crews, remaining: input.remaining, working: input.working };
      return { done, running: running.with(which, changed) };
    }
    case "done": {
      const which = runningLot(problem, operation, input.lot);
      const { mode, pieces, start } = running[which] as RunningLot;
      const scrap = input.scrap ?? 0;
      if (scrap > pieces)
        throw new Refused("invalid", `The lot has ${pieces} pieces; ${scrap} cannot have come out bad.`, [
          { pointer: "/scrap", message: `expected a whole number from 0 to ${pieces}` },
        ]);
      const end = minute(input.end);
      if (end < start)
        throw new Refused("invalid", "It cannot end before it started.", [
          { pointer: "/end", message: "expected a moment not before its start" },
        ]);
      const bad = scrap > 0 ? { scrap } : {};
      return { done: [...done, { mode, pieces, start, end, ...bad }], running: running.toSpliced(which, 1) };
    }
    case "withdrawn": {
      if (running.length > 0 && !assumed) return { done, running: running.slice(0, -1) };
      if (assumed) return { done, running };
      if (done.length === 0) throw new Refused("conflict", `Nothing was reported about ${operation.name}.`);
      return { done: done.slice(0, -1), running };
    }
  }
}

/** Which running lot a report speaks of; it must say so where several run. */
function runningLot(problem: Problem, operation: Operation, lot: number | undefined): number {
  const { running } = operation.progress;
  if (running.length === 0) throw new Refused("conflict", `${operation.name} is not running; report its start first.`);
  if (lot === undefined && running.length === 1) return 0;
  if (lot !== undefined && lot < running.length) return lot;
  const lots = running.map(({ mode, start }, i) => `${i} (${mode}, since ${inWords(problem, start)})`).join(", ");
  throw new Refused("invalid", `${running.length} lots of ${operation.name} run; the report must say which.`, [
    { pointer: "/lot", message: `expected one of ${lots}` },
  ]);
}

/** The lot as it runs now: along its published lot when it has one, else at the beginning of its first phase with all its work (setup included) ahead. */
function startedLot(
  problem: Problem,
  operation: Operation,
  lot: PlannedLot | null,
  { mode: wanted, pieces, start, now }: { mode: string | undefined; pieces: number; start: Minute; now: Minute },
): RunningLot {
  const mode = operation.modes.find((m) => m.id === (wanted ?? lot?.mode ?? operation.modes[0]?.id));
  if (!mode)
    throw new Refused("invalid", `${operation.name} has no mode "${wanted}".`, [
      { pointer: "/mode", message: `expected one of ${operation.modes.map((m) => m.id).join(", ")}` },
    ]);
  const planned = lot?.mode === mode.id && lot.pieces === pieces ? lot : null;
  const first = mode.phases.findIndex((phase) => workMinutes(phase.work, pieces) > 0 || phase.kind === "prepare");
  const phase = planned?.phases[0]?.phase ?? Math.max(0, first);
  const work = mode.phases[phase]?.work;
  const setup = mode.phases[phase]?.kind === "prepare" ? setupAhead(problem, operation, mode.id) : 0;
  const total =
    planned?.phases[0]?.work.reduce((sum, [from, until]) => sum + until - from, 0) ??
    (work ? workMinutes(work, pieces) + setup : 0);
  const begun: RunningLot = {
    mode: mode.id,
    pieces,
    start,
    phase,
    crews: planned?.phases[0]?.crews ?? crewsFor(problem, mode.phases[phase]?.needs ?? []),
    remaining: total,
    working: true,
  };
  // A start that came late has done as much by now as its plan had so much earlier.
  return planned ? carriedOn(begun, planned.start, now - (start - planned.start), planned) : begun;
}

/** Setup from the family each machine was left in by what is done or running on it, else from the one it stood in. */
function setupAhead(problem: Problem, operation: Operation, modeId: string): number {
  const mode = operation.modes.find((m) => m.id === modeId);
  const minutes = (mode?.machines ?? []).map((id, i) => {
    const machine = problem.machines.find((m) => m.id === id);
    const family = mode?.families[i] ?? null;
    if (!machine || family === null) return 0;
    const lots = problem.operations.flatMap((o) =>
      [...o.progress.done, ...o.progress.running].flatMap((l) => {
        const m = o.modes.find((x) => x.id === l.mode);
        const at = m?.machines.indexOf(id) ?? -1;
        const left = at === -1 ? null : (m?.families[at] ?? null);
        return left === null ? [] : [{ start: l.start, family: left }];
      }),
    );
    const latest = lots.sort((a, b) => a.start - b.start).at(-1);
    return setupMinutes(machine.setup, latest?.family ?? machine.family, family);
  });
  return Math.max(0, ...minutes);
}

const crewsFor = (problem: Problem, needs: readonly { skill: string }[]): string[] =>
  needs.flatMap(({ skill }) => problem.crews.find((crew) => crew.skills.includes(skill))?.id ?? []);
