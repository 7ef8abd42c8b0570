/** Asking a question, reading how it stands, and calling it off. The answer is worked out by a worker (queue/). */
import { randomInt } from "node:crypto";
import type { QuestionAnswer, QuestionKind, QuestionParsed, QuestionView } from "../../contract/api/question.ts";
import type { Role } from "../../contract/api/role.ts";
import { riskProfileOf } from "../../contract/risk-profile.ts";
import type { QuestionState } from "../questions/question.ts";
import { QUESTION_ANSWERS } from "../questions/questions.ts";
import { record } from "../store/audit.ts";
import { announceCancel } from "../store/notice.ts";
import { addQuestion, changeQuestion, type QuestionRow, readQuestion, unfinishedQuestions } from "../store/question-store.ts";
import { readSite, type Site } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import { LEAD_MINUTES, withLead } from "./plan-ahead.ts";
import { type Office, planningState } from "./planning-state.ts";
import { noSuch, Refused } from "./refused.ts";
import { scenarioState, shopNow } from "./scenario-state.ts";
import { setting } from "./settings.ts";

/** Questions that wait or run: more is somebody leaning on a key. */
const WAITING_MAX = 50;
const SEED_MAX = 2_147_483_647;

export type QuestionSender = { sendQuestion(store: Store, question: string): Promise<void> };

/** The seed is fixed here, so that a question that is taken up again is answered the same way. */
export async function askQuestion<K extends QuestionKind>(
  office: Office,
  queue: QuestionSender,
  actor: Actor,
  input: QuestionParsed<K> & { readonly kind: K },
): Promise<string> {
  const { allowed } = QUESTION_ANSWERS[input.kind];
  if (!allowed.includes(actor.role as Role))
    throw new Refused("forbidden", `This question may be asked by: ${allowed.join(", ")}. Ask an administrator for the right.`);
  return office.store.inTransaction(async (store) => {
    if ((await unfinishedQuestions(store)).length >= WAITING_MAX)
      throw new Refused("conflict", `${WAITING_MAX} questions are waiting already; call one off or wait.`);
    const { id } = await addQuestion(store, { kind: input.kind, input, askedBy: actor.name, seed: randomInt(SEED_MAX) });
    await queue.sendQuestion(store, id);
    await record(store, actor.name, "asked", `question ${id}`, { kind: input.kind });
    return id;
  });
}

export async function showQuestion(office: Office, id: string): Promise<QuestionView> {
  const row = await readQuestion(office.store, id);
  if (!row) throw noSuch("question", id);
  return view(row, await readSite(office.store));
}

/** A waiting question is called off; a running one stops soon and keeps what it has. A finished one stays as it is. */
export async function cancelQuestion(office: Office, id: string): Promise<QuestionView> {
  await showQuestion(office, id);
  return office.store.inTransaction(async (store) => {
    const waiting = await changeQuestion(store, id, ["queued"], { state: "cancelled", finishedAt: office.clock() });
    const stopping = waiting ?? (await changeQuestion(store, id, ["running"], { state: "cancelling" }));
    if (!waiting && stopping) await announceCancel(store, id);
    return showQuestion({ ...office, store }, id);
  });
}

/** What a question is asked about, and by which numbers to tell later whether it still stands so. */
export async function questionState(
  office: Office,
  scenario: string | null,
): Promise<{ state: QuestionState; draftNumber: number; shopRevision: number }> {
  const { site, draft, ...here } = await planningState(office);
  const risk = riskProfileOf(await setting(office.store, "risk"));
  const rates = await setting(office.store, "rates");
  const {
    problem,
    plan,
    shop: file,
  } = scenario === null ? { ...here, shop: (await shopNow(office)).file } : await scenarioState(office, scenario);
  const led = site.fixedNow === null ? withLead(problem, LEAD_MINUTES) : problem;
  return { state: { problem: led, plan, shop: file, risk, rates }, draftNumber: draft.number, shopRevision: site.shopRevision };
}

function view(row: QuestionRow, site: Site | null): QuestionView {
  const { id, kind, state, askedBy, progress, draftNumber, error, answer } = row;
  return {
    id,
    kind,
    state,
    askedBy,
    progress,
    draftRevision: draftNumber,
    stale: draftNumber !== null && (site?.draftNumber !== draftNumber || site.shopRevision !== row.shopRevision),
    error,
    answer: answer as QuestionAnswer<QuestionKind> | null,
    createdAt: row.createdAt.toISOString(),
    finishedAt: row.finishedAt?.toISOString() ?? null,
  };
}
