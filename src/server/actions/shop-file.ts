/** The whole shop as a problem file, read from the store, and its compilation. What the store holds was valid when it was written. */

import { compileProblem } from "../../contract/file/compile-problem.ts";
import type { OperationInFile } from "../../contract/file/order-schema.ts";
import { PROBLEM_FORMAT, PROBLEM_VERSION, type ProblemFile } from "../../contract/problem-file.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import type { RunningLot } from "../../core/orders/operation.ts";
import type { Plan, PlannedLot } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { listKitSpans, listLinks, listOrders, type StoredOperation } from "../store/order-store.ts";
import { readVersion } from "../store/plan-store.ts";
import { listPlant } from "../store/plant-store.ts";
import type { Site } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import { carriedOn, fitPlan } from "./fit-plan.ts";
import { Refused } from "./refused.ts";
import { runMinutesBetween } from "./run-hours.ts";

/** The minute of now: the wall clock's, or the one at which the shop stands still. */
export function minuteOfNow(site: Site, clock: Date): Minute {
  return site.fixedNow ?? Math.max(0, Math.floor((clock.getTime() - Date.parse(site.origin)) / 60_000));
}

export type Shop = {
  /** Without `published`. */
  readonly file: ProblemFile;
  /** Plan in force as stored, which may speak of what is gone. */
  readonly published: Plan | null;
};

export async function readShop(store: Store, site: Site, now: Minute): Promise<Shop> {
  const version = site.publishedVersion === null ? null : await readVersion(store, site.publishedVersion);
  const placed = new Map(version?.plan.operations.map((planned) => [planned.operation, planned.lots]));
  const orders = await listOrders(store);
  const running: Carried[] = [];
  const bodies = async <K extends Parameters<typeof listPlant>[1]>(kind: K) =>
    (await listPlant(store, kind)).map((row) => row.body);
  const file: ProblemFile = {
    format: PROBLEM_FORMAT,
    version: PROBLEM_VERSION,
    name: site.name,
    zone: site.zone,
    origin: site.origin,
    now,
    horizon: now + site.horizonMinutes,
    calendars: await bodies("calendars"),
    machines: await bodies("machines"),
    crews: await bodies("crews"),
    supplies: await bodies("supplies"),
    kits: await bodies("kits"),
    setupTables: await bodies("setup-tables"),
    orders: orders.map(({ revision: _revision, ...order }) => ({
      ...order,
      operations: order.operations.map((operation) => asOfNow(operation, now, placed.get(operation.id) ?? [], running)),
    })),
    links: await listLinks(store),
    kitSpans: await listKitSpans(store),
    runHourRules: await bodies("run-hour-rules"),
    published: null,
    freeze: site.freezeMinutes === null ? null : now + site.freezeMinutes,
    weights: site.weights,
  };
  return {
    file: { ...file, runHourRules: file.runHourRules.map((rule) => ({ ...rule, counter: countedNow(rule, running) })) },
    published: version?.plan ?? null,
  };
}

/** Running work as it stood in its report and as it stands now. */
type Carried = { readonly operation: OperationInFile; readonly from: RunningLot; readonly to: RunningLot };

/** A run-hour counter with what run phases on its machine have worked since their report. */
const countedNow = (rule: ProblemFile["runHourRules"][number], running: readonly Carried[]): number =>
  running.reduce((sum, { operation, from, to }) => {
    const on = operation.modes.find((mode) => mode.id === from.mode)?.machines ?? [];
    return (
      sum +
      (on.includes(rule.machine)
        ? runMinutesBetween(
            operation.modes.find((mode) => mode.id === from.mode),
            from,
            to,
          )
        : 0)
    );
  }, rule.counter);

/** Running work carried on to now along the published plan. Reports are stored with minute numbers, never with dates. */
function asOfNow(
  { reported, ...operation }: StoredOperation,
  now: Minute,
  lots: readonly PlannedLot[],
  carried: Carried[],
): OperationInFile {
  const { done, running } = operation.progress;
  if (running === null || reported === null || typeof running.start !== "number") return operation;
  const from: RunningLot = { ...running, start: running.start, pieces: running.pieces ?? 1 };
  const to = carriedOn(from, reported, now, lots[Math.min(done.length, lots.length - 1)] ?? null);
  carried.push({ operation, from, to });
  return { ...operation, progress: { done, running: { ...to, crews: [...to.crews] } } };
}

/** Compiles the shop; refuses as invalid with all faults, at their place in the problem file. */
export function compileShop(shop: Shop): Problem {
  const { problem, faults } = compileProblem(shop.file);
  if (!problem || faults.length > 0)
    throw new Refused(
      "invalid",
      faults[0]?.message ?? "the shop cannot be read",
      faults.map((fault) => ({ pointer: pointerOf(fault.at), message: fault.message })),
    );
  return shop.published ? { ...problem, published: fitPlan(problem, shop.published) } : problem;
}

/** `orders[0].operations[2]` as a JSON pointer, `/orders/0/operations/2`. */
export function pointerOf(at: string): string {
  if (at === "(file)") return "";
  return `/${at
    .replaceAll(/\[(\d+)\]/g, ".$1")
    .split(".")
    .map((step) => step.replaceAll("~", "~0").replaceAll("/", "~1"))
    .join("/")}`;
}
