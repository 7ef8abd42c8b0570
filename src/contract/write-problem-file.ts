/**
 * A compiled Problem as a problem file again, so that any problem - of a benchmark, of a test, of a running shop - can be kept,
 * sent and read. Promises: reading it back gives the same Problem, if that came from a file. Rules of the week are not
 * recovered: calendars come out as dated stretches. Problems made by hand may hold what no file says (open minutes after the
 * horizon, headcounts without shifts); these come out clipped, or with shifts made from the headcount.
 */
import { type Intervals, intersect, normalise, subtract } from "../core/calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES, type Interval, type Minute } from "../core/calendar/minute.ts";
import { type StepFunction, sumOfSteps, valueAt } from "../core/calendar/step-function.ts";
import type { Operation } from "../core/orders/operation.ts";
import type { Crew, Shift } from "../core/plant/crew.ts";
import type { Machine } from "../core/plant/machine.ts";
import type { SetupTable } from "../core/plant/setup.ts";
import type { Problem } from "../core/problem/problem.ts";
import { PROBLEM_FORMAT, PROBLEM_VERSION, type ProblemFileInput } from "./problem-file.ts";

type Part<Key extends keyof ProblemFileInput> = NonNullable<ProblemFileInput[Key]> extends readonly (infer Item)[] ? Item : never;
type Extra = NonNullable<Part<"calendars">["extra"]>[number];

export function writeProblemFile(problem: Problem): ProblemFileInput {
  const calendars = calendarBook(problem);
  const plant = {
    machines: problem.machines.map((machine) => machineInFile(machine, problem.horizon, calendars)),
    crews: problem.crews.map((crew) => crewInFile(crew, calendars)),
  };
  return {
    format: PROBLEM_FORMAT,
    version: PROBLEM_VERSION,
    name: problem.name,
    zone: problem.zone,
    origin: problem.origin,
    now: problem.now,
    horizon: problem.horizon,
    calendars: calendars.list,
    ...plant,
    setupTables: [...tablesOf(problem)],
    supplies: problem.supplies.map(({ id, name, unit, amount }) => ({
      id,
      name,
      unit,
      amount: 0,
      changes: changesOf(amount, problem.horizon),
    })),
    kits: problem.kits.map(({ id, name, count }) => ({ id, name, count: 0, changes: changesOf(count, problem.horizon) })),
    orders: problem.orders.flatMap((order) => {
      const operations = problem.operations.filter((operation) => operation.order === order.id).map(operationInFile);
      return operations.length === 0 ? [] : [{ ...order, operations }];
    }),
    links: problem.links.map((link) => ({ ...link })),
    kitSpans: problem.kitSpans.map((span) => ({ ...span })),
    runHourRules: problem.runHourRules.map((rule) => ({ ...rule, operations: [...rule.operations] })),
    published: problem.published && plain(problem.published),
    freeze: problem.freeze,
    weights: { ...problem.weights },
  };
}

/** The same data, as the mutable lists of a file. */
const plain = <T>(data: T): Mutable<T> => JSON.parse(JSON.stringify(data)) as Mutable<T>;
type Mutable<T> = T extends string | number | boolean | null
  ? T
  : T extends object
    ? { -readonly [Key in keyof T]: Mutable<T[Key]> }
    : T;

function operationInFile(operation: Operation): Part<"orders">["operations"][number] {
  const { order: _order, pieces: _pieces, ...rest } = operation;
  return plain(rest);
}

const tablesOf = (problem: Problem): Iterable<Part<"setupTables">> => {
  const tables = new Map<string, SetupTable>();
  for (const { setup } of problem.machines) if (setup.kind === "table") tables.set(setup.table.id, setup.table);
  return [...tables.values()].map(plain);
};

/** Gathers the calendars of the file; names that the problem uses stay its own. */
type CalendarBook = { readonly list: Part<"calendars">[]; add(wish: string, extra: Extra[]): string };

function calendarBook(problem: Problem): CalendarBook {
  const list: Part<"calendars">[] = problem.calendars.map(({ id, name, open }) => ({ id, name, extra: stretches(open) }));
  const used = new Set(list.map(({ id }) => id));
  return {
    list,
    add(wish, extra) {
      let id = wish;
      for (let n = 2; used.has(id); n += 1) id = `${wish} ${n}`;
      used.add(id);
      list.push({ id, extra });
      return id;
    },
  };
}

const stretches = (open: Intervals): Extra[] => open.map(([start, end]) => ({ start, end }));

function machineInFile(machine: Machine, horizon: Minute, calendars: CalendarBook): Part<"machines"> {
  const { open, setup, unattended, closures, ...rest } = machine;
  const span: Intervals = [[-CALENDAR_LEAD_MINUTES, horizon]];
  const closed = normalise(closures.map(({ start, end }): Interval => [start, end]));
  const always = same(intersect(open, span), subtract(span, closed));
  return {
    ...plain(rest),
    closures: plain(closures),
    calendar: always ? null : calendars.add(`open: ${machine.id}`, stretches(open)),
    setup: setup.kind === "table" ? { kind: "table", table: setup.table.id } : setup,
    unattended:
      unattended.kind === "never"
        ? unattended
        : {
            ...unattended,
            windows: unattended.windows === null ? null : calendars.add(`alone: ${machine.id}`, stretches(unattended.windows)),
          },
  };
}

const same = (a: Intervals, b: Intervals): boolean => JSON.stringify(a) === JSON.stringify(b);

/**
 * Shifts as they are; what they have more than the headcount is a break where nobody is left of those present, else an absence.
 * Marked unsocial is a shift whose people are nowhere in social hours.
 */
function crewInFile(crew: Crew, calendars: CalendarBook): Part<"crews"> {
  const shifts = explains(crew.shifts, crew) ? crew.shifts : shiftsOf(crew);
  const total = sumOfSteps(shifts.map(({ start, end, people }) => ({ interval: [start, end] as const, amount: people })));
  const breaks: Interval[] = [];
  const absences: { start: Minute; end: Minute; people: number | null }[] = [];
  for (const [start, end] of pieces([total, crew.headcount], crew.present)) {
    const missing = valueAt(total, start) - valueAt(crew.headcount, start);
    if (missing <= 0) continue;
    const here = intersect(crew.present, [[start, end]]).length > 0;
    if (here && valueAt(crew.headcount, start) === 0) breaks.push([start, end]);
    else absences.push({ start, end, people: here ? missing : null });
  }
  const extra = shifts.map(({ name, start, end, people }): Extra => {
    const worked = intersect(crew.present, [[start, end]]);
    return {
      name,
      start,
      end,
      people,
      unsocial: worked.length > 0 && subtract(worked, crew.unsocial).length === 0,
      breaks: stretches(intersect(normalise(breaks), [[start, end]])),
    };
  });
  return {
    id: crew.id,
    name: crew.name,
    skills: [...crew.skills],
    calendar: calendars.add(`shifts: ${crew.id}`, extra),
    absences,
  };
}

/** Whether the shifts hold everybody who is there: nobody works or is present outside them. */
function explains(shifts: readonly Shift[], crew: Crew): boolean {
  const total = sumOfSteps(shifts.map(({ start, end, people }) => ({ interval: [start, end] as const, amount: people })));
  const inside = normalise(shifts.filter(({ people }) => people > 0).map(({ start, end }): Interval => [start, end]));
  return (
    subtract(crew.present, inside).length === 0 &&
    pieces([total, crew.headcount], crew.present).every(([start]) => valueAt(crew.headcount, start) <= valueAt(total, start))
  );
}

/** Shifts for a crew that names none: one for each stretch of presence and of social or unsocial hours, with its largest headcount. */
function shiftsOf(crew: Crew): readonly Shift[] {
  const parts = [...subtract(crew.present, crew.unsocial), ...intersect(crew.present, crew.unsocial)];
  return normaliseApart(parts).map(([start, end]) => {
    const levels = pieces([crew.headcount], [[start, end]]).filter(([from]) => start <= from && from < end);
    return { name: "", start, end, people: Math.max(1, ...levels.map(([from]) => valueAt(crew.headcount, from))) };
  });
}

const normaliseApart = (list: Intervals): Intervals => [...list].sort((a, b) => a[0] - b[0]);

/** The stretches between all points at which one of the amounts or the presence changes. */
function pieces(steps: readonly StepFunction[], present: Intervals): Intervals {
  const points = [...new Set([...steps.flatMap(({ at }) => at), ...present.flat()])].sort((a, b) => a - b);
  return points.slice(1).map((end, i): Interval => [points[i] as Minute, end]);
}

/** An amount as dated changes of nothing. */
function changesOf(amount: StepFunction, horizon: Minute): { start: Minute; end: Minute; amount: number }[] {
  return amount.at.flatMap((start, i) => {
    const end = amount.at[i + 1] ?? horizon;
    const value = amount.value[i] as number;
    return value > 0 && start < end ? [{ start, end, amount: value }] : [];
  });
}
