/**
 * A problem file into the shop: into an empty one, or in place of everything there. All or nothing; the file is judged by
 * the contract before a row is written. Its published plan becomes version and draft; lots of it that overlap on a machine
 * are refused by the database like any other.
 */

import type { ImportAnswer } from "../../contract/api/shop-file.ts";
import { type ProblemFile, problemFileSchema, readProblemFile } from "../../contract/problem-file.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import type { Actor } from "../actions/actor.ts";
import { withReportsInMinutes } from "../actions/edit-shop.ts";
import { fitPlan } from "../actions/fit-plan.ts";
import { planChanges } from "../actions/plan-changes.ts";
import type { Office } from "../actions/planning-state.ts";
import { lotRows } from "../actions/publish-plan.ts";
import { Refused } from "../actions/refused.ts";
import { pointerOf } from "../actions/shop-file.ts";
import { record } from "../store/audit.ts";
import { emptyShop, isEmptyShop } from "../store/empty-shop.ts";
import { announce } from "../store/notice.ts";
import { addLinks, addOrders } from "../store/order-store.ts";
import { addDraft, addVersion, newestVersion, replacePublishedLots } from "../store/plan-store.ts";
import { writePlant } from "../store/plant-store.ts";
import { ensureSite, lockSite, pointTo, saveSite } from "../store/site-store.ts";
import { databaseRefusal, type Store } from "../store/store.ts";
import { settleAs } from "./settled.ts";

export type ImportOptions = {
  readonly replace: boolean;
  /** file: the shop stands still at the file's now. live: now is the time on the wall. */
  readonly clock: "file" | "live";
  readonly followsPlan?: boolean;
  /** How the version that the file brings is signed. */
  readonly publishedBy?: string;
  readonly publishedAt?: Date;
};

export async function importShop(office: Office, actor: Actor, json: unknown, options: ImportOptions): Promise<ImportAnswer> {
  const read = readProblemFile(json);
  if (!read.ok)
    throw new Refused(
      "invalid",
      read.error[0]?.message ?? "not a problem file",
      read.error.map(({ at, message }) => ({ pointer: pointerOf(at), message })),
    );
  const file = problemFileSchema.parse(json);
  const problem = read.value;
  await ensureSite(office.store, office.clock());
  try {
    await office.store.inTransaction(async (store) => {
      await lockSite(store);
      if (!(await isEmptyShop(store))) {
        if (!options.replace)
          throw new Refused(
            "conflict",
            "There is a shop already. Import with replace=true to put the file in its place, plans included.",
          );
        await emptyShop(store);
      }
      await write(store, file, problem, { ...options, followsPlan: file.settled?.followsPlan ?? options.followsPlan ?? false });
      if (file.settled) await settleAs(store, file.settled, actor, office.clock());
      if (problem.published) await publishImported(store, problem, problem.published, actor, options, office.clock());
      await record(store, actor.name, "imported", `shop ${file.name}`, { replace: options.replace });
      await announce(store, { type: "reread" });
    });
  } catch (error) {
    if (databaseRefusal(error) !== "overlap") throw error;
    throw new Refused(
      "conflict",
      "The file's published plan has two operations on one machine at the same time; the database refuses that.",
    );
  }
  return {
    machines: problem.machines.length,
    crews: problem.crews.length,
    orders: problem.orders.length,
    operations: problem.operations.length,
    published: problem.published !== null,
  };
}

async function write(
  store: Store,
  file: ProblemFile,
  problem: Problem,
  { clock, followsPlan = false }: ImportOptions,
): Promise<void> {
  await saveSite(store, {
    name: problem.name,
    zone: problem.zone,
    origin: new Date(problem.origin).toISOString(),
    fixedNow: clock === "file" ? problem.now : null,
    horizonMinutes: problem.horizon - problem.now,
    freezeMinutes: problem.freeze === null ? null : Math.max(0, problem.freeze - problem.now),
    weights: problem.weights,
    followsPlan,
    demoRevision: null,
  });
  for (const calendar of file.calendars) await writePlant(store, "calendars", calendar);
  for (const table of file.setupTables) await writePlant(store, "setup-tables", table);
  for (const machine of file.machines) await writePlant(store, "machines", machine);
  for (const crew of file.crews) await writePlant(store, "crews", crew);
  for (const supply of file.supplies) await writePlant(store, "supplies", supply);
  for (const kit of file.kits) await writePlant(store, "kits", kit);
  await addOrders(store, withReportsInMinutes(file.orders, problem), problem.now);
  await addLinks(store, file.links, file.kitSpans);
  for (const rule of file.runHourRules) await writePlant(store, "run-hour-rules", rule);
}

async function publishImported(
  store: Store,
  problem: Problem,
  published: Plan,
  actor: Actor,
  options: ImportOptions,
  now: Date,
): Promise<void> {
  const version = (await newestVersion(store)) + 1;
  const plan = fitPlan(problem, published);
  await addVersion(store, {
    version,
    plan,
    changes: planChanges(problem, { operations: [] }, plan),
    cautions: [], // nobody was asked: the plan was in force before it came here
    problem: { ...problem, published: null },
    note: "Came with the imported file",
    acknowledgedBy: null,
    publishedBy: options.publishedBy ?? actor.name,
    publishedAt: options.publishedAt ?? now,
  });
  await replacePublishedLots(store, version, lotRows(problem, plan));
  const draftNumber = await addDraft(store, {
    previous: null,
    plan,
    note: `As published in version ${version}`,
    author: actor.name,
    basedOn: version,
  });
  await pointTo(store, { draftNumber, publishedVersion: version });
}
