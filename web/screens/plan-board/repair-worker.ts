/**
 * Off the main thread: repairs after a drop. The first answers come at once, longer searches follow while the planner has not
 * chosen; between two of them it listens, so that a newer drop or a choice ends the search.
 */
import { repairView } from "../../../src/contract/repair-view.ts";
import { repairDrop } from "../../../src/core/plan/repair-drop.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import type { RepairNews, RepairQuestion } from "./repairer.ts";

/** Search steps, one after the other: some tens of milliseconds first, then as long as it may take. */
const STEPS = [150, 400, 1000, 2000, 3000, 3000, 3000, 3000];
const SEED = 20_261;

let problem: Problem | null = null;
let latest = 0;

const tell = (news: RepairNews): void => self.postMessage(news);

self.onmessage = ({ data }: MessageEvent<RepairQuestion>): void => {
  switch (data.kind) {
    case "problem":
      problem = data.problem;
      return;
    case "stop":
      latest = 0;
      return;
    case "repair":
      latest = data.id;
      void search(data);
  }
};

async function search({ id, plan, operation }: Extract<RepairQuestion, { kind: "repair" }>): Promise<void> {
  const shop = problem;
  if (!shop) return;
  const drop = repairDrop(shop, plan, operation, { seed: SEED });
  for (const [i, steps] of STEPS.entries()) {
    if (id !== latest) return;
    const answers = drop.next(steps).map((answer) => ({ ...repairView(shop, answer, null), movesDropped: answer.movesDropped }));
    tell({ id, answers, searching: i < STEPS.length - 1 && answers.length > 0 });
    if (answers.length === 0) return;
    await new Promise((resume) => setTimeout(resume, 0));
  }
}
