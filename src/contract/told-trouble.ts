/**
 * A trouble as people tell it, read into minutes, tried on a compiled problem, and written as edits of the shop's entities.
 * The promise (a law in the tests): compiling the edited file gives the problem that the trouble makes of the compiled one.
 * Pure. What the trouble does is core/track; this file only knows how it is told and written down.
 */
import { type WallClock, wallClock } from "../core/calendar/wall-clock.ts";
import { err, type Fault, ok, type Result } from "../core/ground/result.ts";
import type { OperationId } from "../core/orders/operation.ts";
import type { OrderId } from "../core/orders/order.ts";
import type { Problem } from "../core/problem/problem.ts";
import { piecesScrapped, type Remake } from "../core/track/remake.ts";
import { type Trouble, withTrouble } from "../core/track/trouble.ts";
import type { ToldTrouble } from "./api/questions/trouble.ts";
import type { OrderInStep, ShopEdit } from "./api/step.ts";
import { compileProblem } from "./file/compile-problem.ts";
import type { Moment } from "./file/field.ts";
import type { KitSpanInFile, LinkInFile } from "./file/link-schema.ts";
import { minuteOfMoment, type Side } from "./file/moment.ts";
import type { OperationInFile } from "./file/order-schema.ts";
import type { ProblemFile } from "./problem-file.ts";

export type Troubled = {
  readonly problem: Problem;
  readonly edits: readonly ShopEdit[];
  /** The order that makes scrapped pieces again. */
  readonly added: OrderId | null;
};

/** `file`: the shop as people wrote it, of which `problem` is the compilation with what has happened since. */
export function tellTrouble(file: ProblemFile, problem: Problem, told: ToldTrouble): Result<Troubled, Fault> {
  if (told.kind === "piecesScrapped") {
    const { lostAt, from, pieces } = told;
    const remake = piecesScrapped(problem, from === null ? { lostAt, pieces } : { lostAt, from, pieces });
    if (!remake.ok) return remake;
    return ok({
      problem: remake.value.problem,
      edits: remakeEdits(file, problem, remake.value),
      added: remake.value.added.order.id,
    });
  }
  if (told.kind === "machineRuns") return runsAgain(file, problem, told);
  const read = inMinutes(told, problem, wallClock(problem.zone, problem.origin));
  if (!read.ok) return read;
  const after = withTrouble(problem, read.value);
  if (!after.ok) return after;
  return ok({ problem: after.value, edits: editsOf(file, after.value, read.value, told), added: null });
}

/** What kept the machine closed at that minute ends there; closures that are still to come stay. */
function runsAgain(file: ProblemFile, problem: Problem, told: ToldTrouble & { kind: "machineRuns" }): Result<Troubled, Fault> {
  const clock = wallClock(problem.zone, problem.origin);
  const written = file.machines.find(({ id }) => id === told.machine);
  if (written === undefined) return err({ at: "machine", message: `there is no machine ${told.machine} in the problem` });
  const at = told.from === undefined ? ok(problem.now) : minuteOfMoment(told.from, "begin", clock);
  if (!at.ok) return err({ at: "from", message: at.error });
  const minute = (moment: Moment, side: Side): number => {
    const read = minuteOfMoment(moment, side, clock);
    return read.ok ? read.value : Number.NaN;
  };
  const stands = ({ start, end }: { readonly start: Moment; readonly end: Moment }): boolean =>
    minute(start, "begin") <= at.value && at.value < minute(end, "end");
  if (!written.closures.some(stands))
    return err({ at: "machine", message: `nothing keeps machine ${told.machine} closed then; there is nothing to end` });
  const closures = written.closures.flatMap((closure) => {
    if (!stands(closure)) return [closure];
    return minute(closure.start, "begin") < at.value ? [{ ...closure, end: at.value }] : [];
  });
  const edited = { ...written, closures };
  // its hours without the closure are only known to who reads the file
  const compiled = compileProblem({
    ...file,
    machines: file.machines.map((machine) => (machine === written ? edited : machine)),
  });
  if (compiled.problem === null) return err(compiled.faults[0] ?? { at: "machine", message: "its closures cannot be read" });
  const runs = compiled.problem.machines.find(({ id }) => id === told.machine);
  return ok({
    problem: {
      ...problem,
      machines: problem.machines.map((machine) =>
        machine.id === told.machine && runs !== undefined ? { ...machine, open: runs.open, closures: runs.closures } : machine,
      ),
    },
    edits: [{ kind: "machines", id: told.machine, after: edited }],
    added: null,
  });
}

type Plain = Exclude<ToldTrouble, { kind: "piecesScrapped" | "machineRuns" }>;

function inMinutes(told: Plain, problem: Problem, clock: WallClock): Result<Trouble, Fault> {
  let fault: Fault | null = null;
  const minute = (at: string, moment: Moment, side: Side): number => {
    const read = minuteOfMoment(moment, side, clock);
    if (read.ok) return read.value;
    fault ??= { at, message: read.error };
    return 0;
  };
  const orNull = (at: string, moment: Moment | null, side: Side): number | null =>
    moment === null ? null : minute(at, moment, side);
  const read = ((): Trouble => {
    switch (told.kind) {
      case "machineStopped": {
        const { machine, reason } = told;
        const from = told.from === undefined ? problem.now : minute("from", told.from, "begin");
        return { kind: told.kind, machine, from, until: orNull("until", told.until, "end"), reason };
      }
      case "personAbsent": {
        const from = told.from === undefined ? problem.now : minute("from", told.from, "begin");
        return { kind: told.kind, crew: told.crew, from, until: minute("until", told.until, "end"), people: told.people };
      }
      case "materialLate":
        return { kind: told.kind, order: told.order, release: minute("release", told.release, "begin") };
      case "runStopped": {
        const { kind, operation, lot, remaining } = told;
        return lot === undefined ? { kind, operation, remaining } : { kind, operation, lot, remaining };
      }
      case "dateChanged":
        return {
          kind: told.kind,
          order: told.order,
          ...(told.due === undefined ? {} : { due: orNull("due", told.due, "end") }),
          ...(told.deadline === undefined ? {} : { deadline: orNull("deadline", told.deadline, "end") }),
        };
      case "quantityChanged":
        return { kind: told.kind, order: told.order, quantity: told.quantity };
    }
  })();
  return fault ? err(fault) : ok(read);
}

/** The entity the trouble is about, with what it says; `after` has accepted it, so it is there. */
function editsOf(file: ProblemFile, after: Problem, trouble: Trouble, told: Plain): ShopEdit[] {
  const reason = "reason" in told ? told.reason : "";
  const order = (id: OrderId, change: Partial<OrderInStep>): ShopEdit[] =>
    file.orders.flatMap((known): ShopEdit[] => (known.id === id ? [{ kind: "orders", id, after: { ...known, ...change } }] : []));
  switch (trouble.kind) {
    case "machineStopped": {
      const closure = { start: trouble.from, end: trouble.until ?? after.horizon, reason };
      return file.machines.flatMap((machine): ShopEdit[] =>
        machine.id === trouble.machine
          ? [{ kind: "machines", id: machine.id, after: { ...machine, closures: [...machine.closures, closure] } }]
          : [],
      );
    }
    case "personAbsent": {
      const absence = { start: trouble.from, end: trouble.until, people: trouble.people, reason };
      return file.crews.flatMap((crew): ShopEdit[] =>
        crew.id === trouble.crew
          ? [{ kind: "crews", id: crew.id, after: { ...crew, absences: [...crew.absences, absence] } }]
          : [],
      );
    }
    case "materialLate":
      return order(trouble.order, { release: trouble.release });
    case "dateChanged":
      return order(trouble.order, {
        ...(trouble.due === undefined ? {} : { due: trouble.due }),
        ...(trouble.deadline === undefined ? {} : { deadline: trouble.deadline }),
      });
    case "quantityChanged":
      return order(trouble.order, { quantity: trouble.quantity });
    case "runStopped": {
      const progress = after.operations.find(({ id }) => id === trouble.operation)?.progress;
      if (!progress) return [];
      const running = progress.running.map((lot) => ({ ...lot, crews: [...lot.crews] }));
      return [{ kind: "progress", id: trouble.operation, after: { done: [...progress.done], running } }];
    }
  }
}

/** The new order, copied from how people wrote the old one, and the old one with the links by which it waits. */
function remakeEdits(file: ProblemFile, before: Problem, { added, copies }: Remake): ShopEdit[] {
  const written = new Map<OperationId, OperationInFile>(
    file.orders.flatMap(({ operations }) => operations.map((operation) => [operation.id, operation] as const)),
  );
  const own = new Set(added.operations.map(({ id }) => id));
  const operations = added.operations.flatMap((copy): OperationInFile[] => {
    const original = written.get(copies.get(copy.id) ?? "");
    if (!original) return [];
    return [{ ...original, id: copy.id, split: copy.split && { ...copy.split }, pin: null, progress: { done: [], running: [] } }];
  });
  const [first] = added.operations;
  const oldId = before.operations.find(({ id }) => id === copies.get(first?.id ?? ""))?.order;
  const old = file.orders.find(({ id }) => id === oldId);
  if (!old) return [];
  const { id, name, quantity, scrapPerMille, release } = added.order;
  const links = added.links.map((link): LinkInFile => ({ ...link }));
  const kitSpans = added.kitSpans.map((span): KitSpanInFile => ({ ...span }));
  const back = links.filter(({ to }) => !own.has(to));
  const theirs = new Set(old.operations.map((operation) => operation.id));
  return [
    {
      kind: "orders",
      id,
      after: {
        ...{ ...old, id, name, quantity, scrapPerMille, release, operations },
        links: links.filter(({ to }) => own.has(to)),
        kitSpans: kitSpans.filter(({ to }) => own.has(to)),
      },
    },
    ...(back.length === 0
      ? []
      : [
          {
            kind: "orders" as const,
            id: old.id,
            after: { ...old, links: [...file.links.filter(({ to }) => theirs.has(to)), ...back] },
          },
        ]),
  ];
}
