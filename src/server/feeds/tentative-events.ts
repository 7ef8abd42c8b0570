/**
 * All events of the plan in force, and the slots that are only being talked about: a held order is tentative wherever it stands, and
 * so is one that was agreed to and is not published yet. Free/busy calls it BUSY-TENTATIVE, an event STATUS:TENTATIVE (RFC 5545,
 * 3.2.9 and 3.8.1.11). What ends without being agreed leaves the calendars as cancelled.
 */
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { inWords } from "../actions/dates.ts";
import { slotsTalkedAbout } from "../store/hold-store.ts";
import type { Store } from "../store/store.ts";
import { type CalendarEvent, eventsOf } from "./calendar-events.ts";

export async function eventsNow(
  store: Store,
  { problem, published, draft }: { readonly problem: Problem; readonly published: Plan; readonly draft: Plan },
): Promise<readonly CalendarEvent[]> {
  const slots = await slotsTalkedAbout(store);
  if (slots.length === 0) return eventsOf(problem, published);
  const slotOf = new Map(slots.map((slot) => [slot.order, slot]));
  const orderOf = new Map(problem.operations.map(({ id, order }) => [id, order]));
  const inForce = new Set(published.operations.map(({ operation }) => operation));
  const only = draft.operations.filter(({ operation }) => !inForce.has(operation) && slotOf.has(orderOf.get(operation) ?? ""));
  const tentative = (event: CalendarEvent): CalendarEvent => {
    const slot = slotOf.get(orderOf.get(event.operation) ?? "");
    if (slot === undefined || (slot.state === "confirmed" && inForce.has(event.operation))) return event;
    const why =
      slot.state === "held"
        ? `Held until ${inWords(problem, slot.until)} by ${slot.heldBy}; not agreed yet.`
        : "Agreed; not in the published plan yet.";
    return { ...event, body: { ...event.body, busy: "BUSY-TENTATIVE", text: `${why}\n${event.body.text}` } };
  };
  return [...eventsOf(problem, published), ...eventsOf(problem, { operations: only })].map(tentative);
}
