/**
 * What the head of the page has asked for before this code arrived (public/ahead.js): the session, and for the board its plan and the
 * stream of events, which is open before the plan is asked for so that no change falls between the two.
 * Promises each of them once and only while the page is young; null: nobody asked, or it came to nothing, and the usual way is open.
 */
type EarlyEvents = { readonly source: EventSource; readonly missed: readonly MessageEvent<string>[] };
type Ahead = {
  readonly answers: Record<string, Promise<Response>>;
  events: EarlyEvents | "taken" | null;
};

declare global {
  interface Window {
    ahead?: Ahead;
  }
}

export const PLAN_COLUMNS = "/plan/columns";

/** Later the usual request is as good, and newer. */
const YOUNG_MS = 30_000;

export async function askedAhead(path: string): Promise<Response | null> {
  const answers = window.ahead?.answers;
  const answer = answers?.[path];
  if (!answers || answer === undefined) return null;
  delete answers[path];
  if (performance.now() > YOUNG_MS) return null;
  const response = await answer.catch(() => null);
  return response?.ok ? response : null;
}

/** Whether the plan was asked for ahead and the answer is one; nothing is taken by asking. */
export async function planIsAhead(): Promise<boolean> {
  const answer = window.ahead?.answers[PLAN_COLUMNS];
  return answer !== undefined && ((await answer.catch(() => null))?.ok ?? false);
}

/** With what has come in meanwhile, still to be heard. */
export function eventsAhead(): EarlyEvents | null {
  const { ahead } = window;
  if (!ahead) return null;
  const { events } = ahead;
  ahead.events = "taken";
  return events === null || events === "taken" || events.source.readyState === EventSource.CLOSED ? null : events;
}
