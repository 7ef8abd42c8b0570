/** A change of a scenario as a sentence, with the names people know. Pure. */
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { Moment } from "../../../src/contract/file/field.ts";
import type { ScenarioChange } from "../../../src/contract/scenario/change.ts";
import { numberText, peopleText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.scenarios.change;

export type Names = {
  readonly machine: (id: string) => string;
  readonly crew: (id: string) => string;
  readonly operation: (id: string) => string;
};

export function namesOf({ problem }: Pick<PlanView, "problem">): Names {
  const named = (list: readonly { readonly id: string; readonly name: string }[]) => {
    const names = new Map(list.map(({ id, name }) => [id, name]));
    return (id: string): string => names.get(id) ?? id;
  };
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  return {
    machine: named(problem.machines),
    crew: named(problem.crews),
    operation: (id) => {
      const known = operations.get(id);
      return known === undefined || known.name === id ? id : `${id} ${known.name}`;
    },
  };
}

export function changeText(change: ScenarioChange, names: Names, time: SiteTime): string {
  const at = (moment: Moment, side: "begin" | "end"): string => {
    const minute = time.minuteOf(moment, side);
    return minute === null ? String(moment) : side === "end" ? time.dueText(minute) : time.dayTime(minute);
  };
  switch (change.kind) {
    case "machineDown":
      return w.machineDown(names.machine(change.machine), at(change.start, "begin"), at(change.end, "end"), change.reason);
    case "moreHours": {
      const people = change.people === null ? "" : peopleText(change.people);
      const who = change.crew === null ? w.open : w.crewComes(names.crew(change.crew), people);
      return w.hours(who, whenText(change.when, at), change.machines.map(names.machine).join(", "));
    }
    case "fewerPeople": {
      const people = change.people === null ? "" : peopleText(change.people);
      return w.fewerPeople(names.crew(change.crew), people, at(change.start, "begin"), at(change.end, "end"), change.reason);
    }
    case "order": {
      const parts = [
        change.release === undefined ? "" : w.release(at(change.release, "begin")),
        change.due === undefined ? "" : change.due === null ? w.noDue : w.due(at(change.due, "end")),
        change.weight === undefined ? "" : w.weight(numberText(change.weight)),
        change.quantity === undefined ? "" : w.quantity(numberText(change.quantity)),
      ].filter((part) => part !== "");
      return w.order(change.order, parts.length === 0 ? w.nothing : parts.join(", "));
    }
    case "qualify":
      return w.qualify(names.operation(change.operation), names.machine(change.machine));
    case "split":
      return w.split(names.operation(change.operation), change.lots, numberText(change.minPieces));
    case "buy":
      return w.buy(names.operation(change.operation), durationText(change.minutes));
    case "newOrders":
      return w.newOrders(
        change.route.name ?? change.route.id,
        change.perWeek,
        numberText(change.quantity),
        dayOf(change.from, time),
        change.weeks,
      );
    case "extraMachine":
      return w.extraMachine(change.id, names.machine(change.like));
    case "edits":
      return w.edits(change.edits.length);
  }

  function whenText(when: Extract<ScenarioChange, { kind: "moreHours" }>["when"], moment: typeof at): string {
    if ("start" in when) return w.stretch(moment(when.start, "begin"), moment(when.end, "end"));
    const days = when.days.map((day) => words.scenarios.weekdays[day - 1]).join(", ");
    return w.days(days, when.begin, when.until, dayOf(when.from, time), dayOf(when.last, time));
  }
}

function dayOf(date: string, time: SiteTime): string {
  const minute = time.minuteOf(date, "begin");
  return minute === null ? date : time.day(minute);
}
