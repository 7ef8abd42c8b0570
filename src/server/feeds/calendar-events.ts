/**
 * What a published plan says to whom, as events: each lot to its machines, its order and whoever asked for it, from start to
 * end; and to each crew the stretches in which it has its hands on the lot, so that a night in which the machine runs alone
 * stays free in a person's calendar. An event keeps its key (audience, operation, lot, part) from plan to plan. Pure.
 */
import { type Intervals, normalise } from "../../core/calendar/intervals.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import type { Mode, Operation, PhaseKind } from "../../core/orders/operation.ts";
import type { Order } from "../../core/orders/order.ts";
import type { Plan, PlannedLot } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { instantOf, inWords } from "../actions/dates.ts";

export const AUDIENCES = ["machine", "crew", "requester", "order"] as const;
export type Audience = (typeof AUDIENCES)[number];

/** The column `audience` of an entry. */
export const audienceKey = (audience: Audience, subject: string): string => `${audience} ${subject}`;

export type EventBody = {
  readonly summary: string;
  readonly place: string;
  readonly text: string;
  /** Maintenance makes a machine unavailable; everything else keeps it busy, tentatively where it is not agreed yet. */
  readonly busy: "BUSY" | "BUSY-UNAVAILABLE" | "BUSY-TENTATIVE";
};

export type CalendarEvent = {
  readonly audience: string;
  readonly operation: string;
  readonly lot: number;
  readonly part: number;
  readonly start: Date;
  readonly end: Date;
  readonly body: EventBody;
};

/** Parts of a crew's stretches: this many for each phase. */
const PARTS_PER_PHASE = 1_000;

export const CAUTION =
  "A plan is no permission to work: local rules, the machine's manual and the people responsible come first, above all where a machine runs unattended or at high voltage.";

const STEP_WORDS: Readonly<Record<PhaseKind, string>> = { prepare: "Set up", run: "Run", clear: "Unload" };

export function eventsOf(problem: Problem, plan: Plan): readonly CalendarEvent[] {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const orders = new Map(problem.orders.map((order) => [order.id, order]));
  return plan.operations.flatMap(({ operation: id, lots }) => {
    const operation = operations.get(id);
    const order = operation && orders.get(operation.order);
    if (!operation || !order) return [];
    return lots.flatMap((lot, index) => {
      const mode = operation.modes.find((candidate) => candidate.id === lot.mode);
      if (!mode || lot.end <= lot.start) return [];
      return eventsOfLot(problem, { order, operation, mode, lot, index: operation.progress.done.length + index });
    });
  });
}

type Work = {
  readonly order: Order;
  readonly operation: Operation;
  readonly mode: Mode;
  readonly lot: PlannedLot;
  /** Among all lots of the operation, done ones included. */
  readonly index: number;
};

function eventsOfLot(problem: Problem, work: Work): readonly CalendarEvent[] {
  const { order, operation, mode, lot, index } = work;
  const machines = mode.machines.map((id) => problem.machines.find((machine) => machine.id === id)?.name ?? id).join(" + ");
  const what = `${order.id} ${operation.name}`;
  const busy = order.kind === "maintenance" ? "BUSY-UNAVAILABLE" : "BUSY";
  const at = (minute: Minute): Date => instantOf(problem, minute);
  const event = (audience: string, part: number, start: Minute, end: Minute, summary: string): CalendarEvent => ({
    audience,
    operation: operation.id,
    lot: index,
    part,
    start: at(start),
    end: at(end),
    body: { summary, place: machines, text: textOf(problem, work), busy },
  });
  const whole = (audience: string): CalendarEvent =>
    event(audience, 0, lot.start, lot.end, machines === "" ? what : `${what} (${machines})`);
  return [
    ...mode.machines.map((id) => event(audienceKey("machine", id), 0, lot.start, lot.end, what)),
    whole(audienceKey("order", order.id)),
    ...(order.requester === null ? [] : [whole(audienceKey("requester", order.requester))]),
    ...stretchesOf(mode, lot).map(({ crew, part, start, end, steps }) =>
      event(
        audienceKey("crew", crew),
        part,
        start,
        end,
        `${steps.map((step) => STEP_WORDS[step]).join(", ")}: ${what}${machines === "" ? "" : ` (${machines})`}`,
      ),
    ),
  ];
}

type Stretch = {
  readonly crew: string;
  readonly part: number;
  readonly start: Minute;
  readonly end: Minute;
  readonly steps: readonly PhaseKind[];
};

/** A crew's work on a lot; what follows without a break is one stretch, named by the phase in which it begins. */
function stretchesOf(mode: Mode, lot: PlannedLot): readonly Stretch[] {
  const crews = new Set(lot.phases.flatMap(({ crews: serving }) => serving));
  return [...crews].flatMap((crew) => {
    const mine = lot.phases.filter(({ crews: serving }) => serving.includes(crew));
    const worked: Intervals = normalise(mine.flatMap(({ work }) => work));
    const counted = new Map<number, number>();
    return worked.map(([start, end]): Stretch => {
      const inside = mine.filter(({ work }) => work.some(([from, until]) => from < end && start < until));
      const phase = inside[0]?.phase ?? 0;
      const number = counted.get(phase) ?? 0;
      counted.set(phase, number + 1);
      const steps = inside.flatMap(({ phase: i }) => mode.phases[i]?.kind ?? []);
      return { crew, part: phase * PARTS_PER_PHASE + number, start, end, steps: [...new Set(steps)] };
    });
  });
}

function textOf(problem: Problem, { order, operation, lot, mode }: Work): string {
  const steps = lot.phases.flatMap(({ phase, work, crews }) => {
    const [first, last] = [work[0], work.at(-1)];
    const kind = mode.phases[phase]?.kind;
    if (!first || !last || !kind) return [];
    const by = crews.map((id) => problem.crews.find((crew) => crew.id === id)?.name ?? id).join(", ");
    const who = by !== "" ? by : mode.machines.length > 0 ? "runs alone" : "";
    return [`${STEP_WORDS[kind]} ${inWords(problem, first[0])} to ${inWords(problem, last[1])}${who === "" ? "" : `: ${who}`}`];
  });
  return [
    order.name === order.id ? `Order ${order.id}` : `Order ${order.id}: ${order.name}`,
    `${operation.name}, ${lot.pieces} ${lot.pieces === 1 ? "piece" : "pieces"}`,
    ...steps,
    ...(order.due === null ? [] : [`Order due ${inWords(problem, order.due)}`]),
    `Times in ${problem.zone}.`,
    CAUTION,
  ].join("\n");
}
