/** Pins (what a planner has fixed) and progress (what an operator reports): both stand on the operation and change the problem, not the plan. */
import type { ProgressInput } from "../../contract/api/plan.ts";
import type { OperationInFile, ProgressInFile } from "../../contract/file/order-schema.ts";
import type { ProblemFile } from "../../contract/problem-file.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import { type Operation, type Progress, type RunningLot, workMinutes } from "../../core/orders/operation.ts";
import { setupMinutes } from "../../core/plant/setup.ts";
import type { PlannedLot } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { record } from "../store/audit.ts";
import { saveDecided } from "../store/order-store.ts";
import type { Actor } from "./actor.ts";
import { changeShop } from "./edit-shop.ts";
import { carriedOn } from "./fit-plan.ts";
import type { Office } from "./planning-state.ts";
import { noSuch, Refused } from "./refused.ts";
import { countRunMinutes } from "./run-hours.ts";
import { compileShop, type Shop } from "./shop-file.ts";

type Pin = OperationInFile["pin"];

/** Everything known about one operation, in the shop as it is now. */
function findOperation(
  shop: Shop,
  id: string,
): { order: ProblemFile["orders"][number]; operation: OperationInFile; problem: Problem; compiled: Operation } {
  const order = shop.file.orders.find((o) => o.operations.some((operation) => operation.id === id));
  const operation = order?.operations.find((o) => o.id === id);
  const problem = compileShop(shop);
  const compiled = problem.operations.find((o) => o.id === id);
  if (!order || !operation || !compiled) throw noSuch("operation", id);
  return { order, operation, problem, compiled };
}

/** Compiles the shop with the operation changed; faults are told at `pointer` of the request. */
function triedWith(shop: Shop, changed: OperationInFile, pointer: string): Problem {
  const orders = shop.file.orders.map((order) => ({
    ...order,
    operations: order.operations.map((o) => (o.id === changed.id ? changed : o)),
  }));
  try {
    return compileShop({ file: { ...shop.file, orders }, published: shop.published });
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
    await saveDecided(store, order.id, { ...operation, pin }, null, "pin");
    await record(store, actor.name, pin ? "pinned" : "unpinned", `operation ${id}`, { before: operation.pin, after: pin });
  });
}

export async function reportProgress(office: Office, actor: Actor, input: ProgressInput): Promise<void> {
  await changeShop(office, { type: "shop" }, async ({ store, shop, now }) => {
    const { order, operation, problem, compiled } = findOperation(shop, input.operation);
    const lot = nextLot(problem, compiled);
    const progress = reported(problem, compiled, lot, input, now, (moment) => minuteOf(shop, operation, moment, now));
    const written: ProgressInFile = {
      done: [...progress.done],
      running: progress.running && { ...progress.running, crews: [...progress.running.crews] },
    };
    const changed = { ...operation, progress: written };
    triedWith(shop, changed, "");
    await countRunMinutes(store, shop.file, problem, compiled, progress);
    await saveDecided(store, order.id, changed, now, "progress");
    await record(store, actor.name, `reported ${input.kind}`, `operation ${input.operation}`, {
      before: compiled.progress,
      after: progress,
    });
  });
}

/** The published lot that comes next or runs: the published plan in the problem is fitted, lots that are done have left it. */
function nextLot(problem: Problem, { id }: Operation): PlannedLot | null {
  const lots = problem.published?.operations.find((planned) => planned.operation === id)?.lots ?? [];
  return lots[0] ?? null;
}

/** A reported moment as a minute, read by the same rules as every moment of a file. Nothing is reported from the future. */
function minuteOf(shop: Shop, operation: OperationInFile, moment: number | string | undefined, now: Minute): Minute {
  if (moment === undefined) return now;
  const window = { start: moment, end: null };
  const probe = triedWith({ ...shop, published: null }, { ...operation, window }, "/start");
  const minute = probe.operations.find((o) => o.id === operation.id)?.window.start ?? now;
  if (minute > now)
    throw new Refused("invalid", "What has not happened yet cannot be reported.", [
      { pointer: "", message: "expected a moment not after now" },
    ]);
  return minute;
}

function reported(
  problem: Problem,
  operation: Operation,
  lot: PlannedLot | null,
  input: ProgressInput,
  now: Minute,
  minute: (moment: number | string | undefined) => Minute,
): Progress {
  const { done, running } = operation.progress;
  switch (input.kind) {
    case "started": {
      if (running) throw new Refused("conflict", `${operation.name} is running already, since its start was reported.`);
      const left = operation.pieces - done.reduce((sum, l) => sum + l.pieces, 0);
      if (done.length > 0 && left <= 0) throw new Refused("conflict", `${operation.name} is done.`);
      const start = minute(input.start);
      return {
        done,
        running: startedLot(problem, operation, lot, {
          mode: input.mode,
          pieces: input.pieces ?? Math.min(lot?.pieces ?? left, left),
          start,
          now,
        }),
      };
    }
    case "remaining": {
      if (!running) throw new Refused("conflict", `${operation.name} is not running; report its start first.`);
      const phase = input.phase ?? running.phase;
      const crews = phase === running.phase ? running.crews : (lot?.phases.find((p) => p.phase === phase)?.crews ?? []);
      return { done, running: { ...running, phase, crews, remaining: input.remaining, working: input.working } };
    }
    case "done": {
      if (!running) throw new Refused("conflict", `${operation.name} is not running; report its start first.`);
      const end = minute(input.end);
      if (end < running.start)
        throw new Refused("invalid", "It cannot end before it started.", [
          { pointer: "/end", message: "expected a moment not before its start" },
        ]);
      return { done: [...done, { mode: running.mode, pieces: running.pieces, start: running.start, end }], running: null };
    }
    case "withdrawn": {
      if (running) return { done, running: null };
      if (done.length === 0) throw new Refused("conflict", `Nothing was reported about ${operation.name}.`);
      return { done: done.slice(0, -1), running: null };
    }
  }
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
  return planned ? carriedOn(begun, planned.start, now, planned) : begun;
}

/** Setup from the family each machine was left in by what is done or running on it, else from the one it stood in. */
function setupAhead(problem: Problem, operation: Operation, modeId: string): number {
  const mode = operation.modes.find((m) => m.id === modeId);
  const minutes = (mode?.machines ?? []).map((id, i) => {
    const machine = problem.machines.find((m) => m.id === id);
    const family = mode?.families[i] ?? null;
    if (!machine || family === null) return 0;
    const lots = problem.operations.flatMap((o) =>
      [...o.progress.done, ...(o.progress.running ? [o.progress.running] : [])].flatMap((l) => {
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
