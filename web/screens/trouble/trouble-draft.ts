/** A trouble while it is being told: what the fields hold, how it begins, and what it says once it is whole. Pure. */
import type { ToldTrouble } from "../../../src/contract/api/questions/trouble.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { operationNumber } from "../../board/bar.ts";
import { parseDuration } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { fieldsOfMoment } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import type { Told } from "./use-trouble.ts";

export type Kind = ToldTrouble["kind"];
export const KINDS = Object.keys(words.trouble.kinds) as Kind[];

/** Where it was opened: the thing it is most likely about. */
export type About = {
  readonly machine?: string;
  readonly operation?: string;
  readonly order?: string;
  /** What happened and to how many pieces, where that is known already. */
  readonly kind?: Kind;
  readonly pieces?: number;
};

export type Draft = {
  readonly kind: Kind;
  readonly machine: string;
  readonly crew: string;
  readonly order: string;
  readonly operation: string;
  /** Wall times of the site, as the browser's fields write them. */
  readonly from: string;
  readonly until: string;
  readonly unknown: boolean;
  readonly reason: string;
  readonly people: string;
  readonly remakeFrom: string;
  readonly pieces: string;
  readonly remaining: string;
  readonly date: string;
  readonly nothing: boolean;
};

export function firstDraft(problem: Problem, time: SiteTime, about: About): Draft {
  const operation = problem.operations.find(({ id }) => id === about.operation);
  const runs = operation !== undefined && operation.progress.running.length > 0;
  const order = about.order ?? operation?.order ?? "";
  const stands = closedNow(problem).some(({ id }) => id === about.machine);
  const due = problem.orders.find(({ id }) => id === order)?.due ?? null;
  const likely: Kind = runs
    ? "runStopped"
    : stands
      ? "machineRuns"
      : about.machine !== undefined || operation
        ? "machineStopped"
        : about.order
          ? "dateChanged"
          : "machineStopped";
  return {
    kind: about.kind ?? likely,
    machine: about.machine ?? operation?.modes[0]?.machines[0] ?? "",
    crew: "",
    order,
    operation: operation?.id ?? "",
    from: wallField(time, problem.now),
    until: "",
    unknown: false,
    reason: "",
    people: "",
    remakeFrom: "",
    pieces: about.pieces === undefined ? "" : String(about.pieces),
    remaining: "",
    date: due === null ? "" : fieldsOfMoment(due - 1, time).date,
    nothing: false,
  };
}

/** Machines that a closure of their own keeps closed now. */
export const closedNow = ({ machines, now }: Problem): readonly Problem["machines"][number][] =>
  machines.filter(({ closures }) => closures.some(({ start, end }) => start <= now && now < end));

const wallField = (time: SiteTime, minute: number): string => {
  const { date, time: clock } = fieldsOfMoment(minute, time);
  return `${date}T${clock || "00:00"}`;
};

/** The whole trouble, or what is still wrong with it. */
export function toldOf(problem: Problem, time: SiteTime, draft: Draft): Told | string {
  const say = words.trouble.sentence;
  const name = (list: readonly { readonly id: string; readonly name: string }[], id: string): string =>
    list.find((each) => each.id === id)?.name ?? id;
  const when = (field: string): string => time.short(time.minuteOf(field, "end") ?? problem.now);
  const numberOf = (id: string): string => {
    const operation = problem.operations.find((each) => each.id === id);
    return operation ? operationNumber(operation) : id;
  };
  switch (draft.kind) {
    case "machineStopped": {
      const until = draft.unknown ? null : draft.until;
      return {
        trouble: { kind: draft.kind, machine: draft.machine, from: draft.from, until, reason: draft.reason },
        sentence: say.machineStopped(name(problem.machines, draft.machine), until === null ? null : when(until)),
      };
    }
    case "machineRuns":
      return {
        trouble: { kind: draft.kind, machine: draft.machine, from: draft.from },
        sentence: say.machineRuns(name(problem.machines, draft.machine), when(draft.from)),
      };
    case "personAbsent": {
      const people = draft.people === "" ? null : Math.round(Number(draft.people) * 100);
      return {
        trouble: { kind: draft.kind, crew: draft.crew, from: draft.from, until: draft.until, people, reason: draft.reason },
        sentence: say.personAbsent(name(problem.crews, draft.crew), people === null ? null : draft.people, when(draft.until)),
      };
    }
    case "materialLate":
      return {
        trouble: { kind: draft.kind, order: draft.order, release: draft.until },
        sentence: say.materialLate(draft.order, when(draft.until)),
      };
    case "piecesScrapped": {
      const pieces = Number(draft.pieces);
      return {
        trouble: { kind: draft.kind, lostAt: draft.operation, from: draft.remakeFrom || null, pieces },
        sentence: say.piecesScrapped(numberOf(draft.operation), pieces),
      };
    }
    case "runStopped": {
      const remaining = parseDuration(draft.remaining);
      if (remaining === null || remaining < 1) return words.trouble.badDuration;
      return {
        trouble: { kind: draft.kind, operation: draft.operation, remaining },
        sentence: say.runStopped(numberOf(draft.operation), remaining),
      };
    }
    case "dateChanged": {
      const due = draft.nothing ? null : draft.date;
      return {
        trouble: { kind: draft.kind, order: draft.order, due },
        sentence: say.dateChanged(draft.order, due === null ? null : time.dueText(time.minuteOf(due, "end") ?? problem.now)),
      };
    }
    case "quantityChanged": {
      const quantity = Number(draft.pieces);
      return {
        trouble: { kind: draft.kind, order: draft.order, quantity },
        sentence: say.quantityChanged(draft.order, quantity),
      };
    }
  }
}
