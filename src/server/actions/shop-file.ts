/** The whole shop as a problem file, read from the store, and its compilation. What the store holds was valid when it was written. */

import { compileProblem } from "../../contract/file/compile-problem.ts";
import { PROBLEM_FORMAT, PROBLEM_VERSION, type ProblemFile } from "../../contract/problem-file.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { listKitSpans, listLinks, listOrders } from "../store/order-store.ts";
import { readVersion } from "../store/plan-store.ts";
import { listPlant } from "../store/plant-store.ts";
import type { Site } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import { type AsOfNow, asOfNow, type Reports } from "./as-of-now.ts";
import { fitPlan } from "./fit-plan.ts";
import { Refused } from "./refused.ts";

/** The minute of now: the wall clock's, or the one at which the shop stands still. */
export function minuteOfNow(site: Site, clock: Date): Minute {
  return site.fixedNow ?? Math.max(0, Math.floor((clock.getTime() - Date.parse(site.origin)) / 60_000));
}

export type Shop = {
  /** As written and reported, without `published`. */
  readonly file: ProblemFile;
  readonly reports: Reports;
  /** Plan in force as stored, which may speak of what is gone. */
  readonly published: Plan | null;
  readonly follows: boolean;
};

export async function readShop(store: Store, site: Site, now: Minute): Promise<Shop> {
  const version = site.publishedVersion === null ? null : await readVersion(store, site.publishedVersion);
  const orders = await listOrders(store);
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
      operations: order.operations.map(({ reported: _reported, ...operation }) => operation),
    })),
    links: await listLinks(store),
    kitSpans: await listKitSpans(store),
    runHourRules: await bodies("run-hour-rules"),
    published: null,
    freeze: site.freezeMinutes === null ? null : now + site.freezeMinutes,
    weights: site.weights,
  };
  const reports = orders.flatMap((order) =>
    order.operations.flatMap(({ id, reported }) => (reported === null ? [] : [[id, reported] as const])),
  );
  return { file, reports: new Map(reports), published: version?.plan ?? null, follows: site.followsPlan };
}

/** Compiles the shop as it is written; refuses as invalid with all faults, at their place in the problem file. */
export function compileShop(file: ProblemFile): Problem {
  const { problem, faults } = compileProblem(file);
  if (problem && faults.length === 0) return problem;
  throw new Refused(
    "invalid",
    faults[0]?.message ?? "the shop cannot be read",
    faults.map((fault) => ({ pointer: pointerOf(fault.at), message: fault.message })),
  );
}

/** The compiled shop with running work carried on to now and the published plan fitted to it. */
export function shopAsOfNow({ file, published, reports, follows }: Shop): AsOfNow {
  const { problem, assumed } = asOfNow(compileShop(file), published, reports, follows);
  return { assumed, problem: published ? { ...problem, published: fitPlan(problem, published) } : problem };
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
