/** The latest simulation of the plan that was finished, and whether it still is about the draft of now. */
import type { HowSure } from "../../contract/api/how-sure.ts";
import { riskAnswerSchema, riskInputSchema } from "../../contract/api/questions/risk.ts";
import { latestAnswers } from "../store/question-store.ts";
import { readSite } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";

export async function howSureNow(store: Store): Promise<HowSure> {
  const site = await readSite(store);
  for (const row of await latestAnswers(store, "risk")) {
    if (riskInputSchema.parse(row.input).scenario !== null || row.draftNumber === null || row.finishedAt === null) continue;
    return {
      latest: {
        askedBy: row.askedBy,
        finishedAt: row.finishedAt.toISOString(),
        draftRevision: row.draftNumber,
        stale: site?.draftNumber !== row.draftNumber || site.shopRevision !== row.shopRevision,
        answer: riskAnswerSchema.parse(row.answer),
      },
    };
  }
  return { latest: null };
}
