/** Calendars, setup tables, machines, crews, supplies and kits of a file, compiled, with their references checked. */
import {
  alwaysOpen,
  type CompiledCalendar,
  type CompiledShift,
  calendarOfShifts,
  compileCalendar,
} from "../../core/calendar/compile.ts";
import { type Intervals, normalise, subtract } from "../../core/calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES, type Interval } from "../../core/calendar/minute.ts";
import { type StepFunction, sumOfSteps } from "../../core/calendar/step-function.ts";
import { dayOfDate, minutesOfWallTime } from "../../core/calendar/wall-clock.ts";
import type { Ability } from "../../core/plant/ability.ts";
import type { Crew } from "../../core/plant/crew.ts";
import { peopleOf } from "../../core/plant/headcount.ts";
import type { Closure, Machine, UnattendedRule } from "../../core/plant/machine.ts";
import type { Family, SetupRule, SetupTable } from "../../core/plant/setup.ts";
import type { Kit, Supply } from "../../core/plant/supply.ts";
import type { OpenCalendar } from "../../core/problem/problem.ts";
import type { ProblemFile } from "../problem-file.ts";
import type { CalendarInFile } from "./calendar-schema.ts";
import type { Compilation } from "./compile-problem.ts";
import { found } from "./faults.ts";
import type { Moment } from "./field.ts";
import type { MachineInFile, SetupTableInFile, SupplyInFile } from "./plant-schema.ts";

type Path = readonly PropertyKey[];

export type CompiledPlant = {
  readonly calendars: readonly OpenCalendar[];
  readonly machines: readonly Machine[];
  readonly crews: readonly Crew[];
  readonly supplies: readonly Supply[];
  readonly kits: readonly Kit[];
  readonly machineById: ReadonlyMap<string, Machine>;
  readonly skills: ReadonlySet<string>;
  /** Names of all calibrations of all machines. */
  readonly calibrations: ReadonlySet<string>;
};

export function compilePlant(file: ProblemFile, time: Compilation): CompiledPlant {
  const calendars = new Map<string, CompiledCalendar>();
  unique(file.calendars, ["calendars"], "calendar", time);
  file.calendars.forEach((calendar, i) => void calendars.set(calendar.id, calendarOf(calendar, ["calendars", i], time)));
  unique(file.setupTables, ["setupTables"], "setup table", time);
  const tables = new Map(file.setupTables.map((table, i) => [table.id, tableOf(table, ["setupTables", i], time)]));
  unique(file.machines, ["machines"], "machine", time);
  const machines = file.machines.map((machine, i) => machineOf(machine, ["machines", i], calendars, tables, time));
  unique(file.crews, ["crews"], "crew", time);
  const crews = file.crews.map((crew, i): Crew => {
    const at: Path = ["crews", i];
    const calendar = refer(calendars, crew.calendar, [...at, "calendar"], "calendar", time);
    const absences = crew.absences.map((absence, j) => ({
      ...stretch(absence, [...at, "absences", j], time),
      people: absence.people,
    }));
    return {
      id: crew.id,
      name: crew.name ?? crew.id,
      skills: [...new Set(crew.skills)],
      ...peopleOf(calendar ?? { shifts: [], open: [] }, crew.people, absences),
    };
  });
  const amounts = (amount: number, changes: SupplyInFile["changes"], at: Path): StepFunction =>
    amountOf(amount, changes, at, calendars, time);
  unique(file.supplies, ["supplies"], "supply", time);
  const supplies = file.supplies.map(
    (supply, i): Supply => ({
      id: supply.id,
      name: supply.name ?? supply.id,
      unit: supply.unit,
      amount: amounts(supply.amount, supply.changes, ["supplies", i, "changes"]),
    }),
  );
  unique(file.kits, ["kits"], "kit", time);
  const kits = file.kits.map(
    (kit, i): Kit => ({ id: kit.id, name: kit.name ?? kit.id, count: amounts(kit.count, kit.changes, ["kits", i, "changes"]) }),
  );
  return {
    calendars: file.calendars.map(({ id, name }) => ({ id, name: name ?? id, open: calendars.get(id)?.open ?? [] })),
    machines,
    crews,
    supplies,
    kits,
    machineById: new Map(machines.map((machine) => [machine.id, machine])),
    skills: new Set(crews.flatMap((crew) => crew.skills)),
    calibrations: new Set(machines.flatMap((machine) => machine.calibrations.map(({ name }) => name))),
  };
}

/** Every id once; conflicts and plans name things by it. */
export function unique(list: readonly { readonly id: string }[], path: Path, what: string, time: Compilation): void {
  const first = new Map<string, number>();
  list.forEach(({ id }, i) => {
    const before = first.get(id);
    if (before === undefined) first.set(id, i);
    else
      time.faults.add(
        [...path, i, "id"],
        `${what} ${found(id)} stands here a second time (first as entry ${before}); give it an id of its own`,
      );
  });
}

/** The thing of that id, or a fault that lists some ids that exist. */
export function refer<T>(things: ReadonlyMap<string, T>, id: string, path: Path, what: string, time: Compilation): T | undefined {
  const thing = things.get(id);
  if (thing === undefined) {
    const some = [...things.keys()].slice(0, 8).join(", ");
    const offer =
      things.size === 0 ? `there is no ${what} in this file` : `expected one of ${some}${things.size > 8 ? ", ..." : ""}`;
    time.faults.add(path, `there is no ${what} ${found(id)}; ${offer}`);
  }
  return thing;
}

/** A begin and an end in their order. */
export function stretch(
  { start, end }: { readonly start: Moment; readonly end: Moment },
  path: Path,
  time: Compilation,
): { readonly start: number; readonly end: number } {
  const from = time.minute([...path, "start"], start, "begin");
  const until = time.minute([...path, "end"], end, "end");
  if (until < from)
    time.faults.add([...path, "end"], `${found(end)} lies before the start ${found(start)}; expected a later moment`);
  return { start: from, end: Math.max(from, until) };
}

function calendarOf(calendar: CalendarInFile, path: Path, time: Compilation): CompiledCalendar {
  const before = time.faults.faults.length;
  checkCalendar(calendar, path, time);
  if (time.faults.faults.length > before) return { shifts: [], open: [] };
  const rules = compileCalendar({ ...calendar, name: calendar.name ?? calendar.id }, time);
  const extra = calendar.extra.map((hours, i): CompiledShift => {
    const at: Path = [...path, "extra", i];
    const breaks = normalise(
      hours.breaks.map((pause, j): Interval => {
        const { start, end } = stretch(pause, [...at, "breaks", j], time);
        return [start, end];
      }),
    );
    return {
      name: hours.name ?? "",
      ...stretch(hours, at, time),
      breaks,
      people: hours.people ?? null,
      unsocial: hours.unsocial,
    };
  });
  return extra.length === 0 ? rules : calendarOfShifts([...rules.shifts, ...extra], time.horizon);
}

/** What the shape alone does not show: dates that do not exist, breaks outside their entry, ranges that end before they begin. */
function checkCalendar(calendar: CalendarInFile, path: Path, time: Compilation): void {
  const date = (text: string, at: Path): number => {
    const day = dayOfDate(text);
    if (day === null) time.faults.add(at, `there is no date ${text}; expected YYYY-MM-DD`);
    return day ?? 0;
  };
  const entries = (
    list: readonly CalendarInFile["weekly"][number][] | readonly Omit<CalendarInFile["weekly"][number], "days">[],
    at: Path,
  ): void =>
    list.forEach((entry, i) => {
      const from = minutesOfWallTime(entry.from) ?? 0;
      const length = lengthOf(entry);
      entry.breaks.forEach((pause, j) => {
        const begin = ((minutesOfWallTime(pause.from) ?? 0) - from + 1440) % 1440;
        if (begin + lengthOf(pause) > length)
          time.faults.add(
            [...at, i, "breaks", j],
            `the break ${pause.from}-${pause.until} does not lie within ${entry.from}-${entry.until}`,
          );
      });
    });
  const content = (held: CalendarInFile["exceptions"][number]["content"], at: Path): void => {
    if ("entries" in held) entries(held.entries, [...at, "content", "entries"]);
  };
  entries(calendar.weekly, [...path, "weekly"]);
  calendar.exceptions.forEach((exception, i) => {
    const at: Path = [...path, "exceptions", i];
    const first = date(exception.date, [...at, "date"]);
    if (exception.last !== undefined && date(exception.last, [...at, "last"]) < first)
      time.faults.add([...at, "last"], `${exception.last} lies before ${exception.date}; expected the last date of the range`);
    content(exception.content, at);
  });
  calendar.recurring.forEach((rule, i) => {
    const at: Path = [...path, "recurring", i];
    date(rule.start, [...at, "start"]);
    if (rule.last !== undefined) date(rule.last, [...at, "last"]);
    if (rule.last !== undefined && rule.count !== undefined)
      time.faults.add([...at, "count"], "a rule ends at `last` or after `count` times; give only one of them");
    if (rule.nth !== undefined && rule.unit !== "month")
      time.faults.add([...at, "nth"], `belongs to unit "month", found unit "${rule.unit}"`);
    content(rule.content, at);
  });
}

/** Wall minutes of an entry or break. */
function lengthOf(entry: { readonly from: string; readonly until: string }): number {
  const from = minutesOfWallTime(entry.from) ?? 0;
  const until = minutesOfWallTime(entry.until) ?? 0;
  return until > from ? until - from : until + 1440 - from;
}

function tableOf(table: SetupTableInFile, path: Path, time: Compilation): SetupTable {
  const { families, minutes } = table;
  families.forEach((family, i) => {
    if (families.indexOf(family) < i)
      time.faults.add([...path, "families", i], `family ${found(family)} stands here a second time`);
  });
  if (minutes.length !== families.length)
    time.faults.add(
      [...path, "minutes"],
      `has ${minutes.length} rows; expected ${families.length}, one for each family in the order of \`families\``,
    );
  minutes.forEach((row, i) => {
    if (row.length !== families.length)
      time.faults.add(
        [...path, "minutes", i],
        `has ${row.length} entries; expected ${families.length}, one for each family (the same one included)`,
      );
  });
  return { id: table.id, name: table.name ?? table.id, families, minutes };
}

function machineOf(
  machine: MachineInFile,
  path: Path,
  calendars: ReadonlyMap<string, CompiledCalendar>,
  tables: ReadonlyMap<string, SetupTable>,
  time: Compilation,
): Machine {
  const opening =
    machine.calendar === null
      ? alwaysOpen(time.horizon)
      : (refer(calendars, machine.calendar, [...path, "calendar"], "calendar", time)?.open ?? []);
  const closures = machine.closures.map(
    (closure, i): Closure => ({ ...stretch(closure, [...path, "closures", i], time), reason: closure.reason }),
  );
  const setup = setupOf(machine.setup, path, tables, time);
  if (machine.family !== null) checkFamily(machine.family, setup, machine.id, [...path, "family"], time);
  const names = machine.calibrations.map(({ name }) => name);
  names.forEach((name, i) => {
    if (names.indexOf(name) < i)
      time.faults.add([...path, "calibrations", i, "name"], `calibration ${found(name)} stands here a second time`);
  });
  return {
    id: machine.id,
    name: machine.name ?? machine.id,
    group: machine.group,
    kind: machine.kind,
    open: subtract(opening, normalise(closures.map(({ start, end }): Interval => [start, end]))),
    closures,
    setup,
    family: machine.family,
    unattended: unattendedOf(machine.unattended, path, calendars, time),
    calibrations: machine.calibrations.map(({ name, due, interval }, i) => ({
      name,
      due: time.minute([...path, "calibrations", i, "due"], due, "end"),
      interval,
    })),
    abilities: machine.abilities.map((ability, i) => abilityOf(ability, [...path, "abilities", i], time)),
  };
}

function abilityOf(ability: Ability, path: Path, time: Compilation): Ability {
  if (ability.to < ability.from)
    time.faults.add([...path, "to"], `${ability.to} is less than ${ability.from}; expected the larger end of the range`);
  return ability;
}

function setupOf(
  rule: MachineInFile["setup"],
  path: Path,
  tables: ReadonlyMap<string, SetupTable>,
  time: Compilation,
): SetupRule {
  if (rule.kind !== "table") return rule;
  const table = refer(tables, rule.table, [...path, "setup", "table"], "setup table", time);
  return table ? { kind: "table", table } : { kind: "none" };
}

function unattendedOf(
  rule: MachineInFile["unattended"],
  path: Path,
  calendars: ReadonlyMap<string, CompiledCalendar>,
  time: Compilation,
): UnattendedRule {
  if (rule.kind === "never") return rule;
  const windows: Intervals | null =
    rule.windows === null
      ? null
      : (refer(calendars, rule.windows, [...path, "unattended", "windows"], "calendar", time)?.open ?? []);
  return { kind: "allowed", windows, maxMinutes: rule.maxMinutes };
}

/** A family must be one that the machine's rule knows. Without a rule any will do. */
export function checkFamily(family: Family, setup: SetupRule, machine: string, path: Path, time: Compilation): void {
  if (setup.kind === "table" && !setup.table.families.some((known) => known === family))
    time.faults.add(
      path,
      `${found(family)} is no family of setup table "${setup.table.id}" of machine ${machine}; expected one of ${setup.table.families.join(", ")}`,
    );
  if (setup.kind === "temperature" && typeof family !== "number")
    time.faults.add(
      path,
      `machine ${machine} has a temperature rule; expected a temperature in thousandths of a kelvin, found ${found(family)}`,
    );
}

/** An amount in time: the usual one, overridden stretch by stretch, later changes winning; nothing outside the compiled span. */
function amountOf(
  usual: number,
  changes: SupplyInFile["changes"],
  path: Path,
  calendars: ReadonlyMap<string, CompiledCalendar>,
  time: Compilation,
): StepFunction {
  let pieces: { readonly interval: Interval; readonly amount: number }[] = [
    { interval: [-CALENDAR_LEAD_MINUTES, time.horizon], amount: usual },
  ];
  changes.forEach((change, i) => {
    const at: Path = [...path, i];
    const where: Intervals =
      "calendar" in change
        ? (refer(calendars, change.calendar, [...at, "calendar"], "calendar", time)?.open ?? [])
        : intervalOf(stretch(change, at, time));
    const kept = pieces.flatMap(({ interval, amount }) =>
      subtract([interval], where).map((rest) => ({ interval: rest, amount })),
    );
    const inside = pieces.flatMap(({ interval }) => subtract([interval], subtract([interval], where)));
    pieces = [...kept, ...inside.map((interval) => ({ interval, amount: change.amount }))];
  });
  return sumOfSteps(pieces);
}

const intervalOf = ({ start, end }: { readonly start: number; readonly end: number }): Intervals =>
  start < end ? [[start, end]] : [];
