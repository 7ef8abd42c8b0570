/**
 * Changes of a what-if as edits of the shop of today, one after the other: each sees what those before it made. Pure; compiles
 * nothing. A change that speaks of what is not there is left out and said, so that one machine gone does not spoil a whole what-if.
 */
import { dateOfDay, dayOfDate, partsOfDay } from "../../core/calendar/wall-clock.ts";
import type { OrderInStep, ShopEdit } from "../api/step.ts";
import { applyEditsToFile, joinEdits } from "../apply-edits.ts";
import type { CalendarInFile } from "../file/calendar-schema.ts";
import { found } from "../file/faults.ts";
import type { LinkInFile } from "../file/link-schema.ts";
import { type OperationInFile, type OrderInFile, operationSchema } from "../file/order-schema.ts";
import type { CrewInFile, MachineInFile } from "../file/plant-schema.ts";
import type { ProblemFile } from "../problem-file.ts";
import type { ScenarioChange } from "./change.ts";
import { newOrderEdits } from "./new-orders.ts";

export type ChangeTrouble = { readonly change: number; readonly field: string; readonly message: string };
export type AppliedChanges = {
  readonly file: ProblemFile;
  readonly edits: readonly ShopEdit[];
  readonly troubles: readonly ChangeTrouble[];
};

export function applyChanges(file: ProblemFile, changes: readonly ScenarioChange[]): AppliedChanges {
  let changed = file;
  const edits: ShopEdit[] = [];
  const troubles: ChangeTrouble[] = [];
  changes.forEach((change, i) => {
    try {
      const made = editsOf(changed, change);
      changed = applyEditsToFile(changed, made);
      edits.push(...made);
    } catch (error) {
      if (!(error instanceof NotThere)) throw error;
      troubles.push({ change: i, field: error.field, message: error.message });
    }
  });
  return { file: changed, edits: joinEdits(edits), troubles };
}

/** A change names something that the shop has not. */
class NotThere extends Error {
  readonly field: string;
  constructor(field: string, message: string) {
    super(message);
    this.field = field;
  }
}

const known = <T extends { readonly id: string }>(list: readonly T[], id: string, field: string, what: string): T => {
  const thing = list.find((each) => each.id === id);
  if (thing === undefined) throw new NotThere(field, `there is no ${what} ${found(id)} in the shop (any more)`);
  return thing;
};

function editsOf(file: ProblemFile, change: ScenarioChange): ShopEdit[] {
  switch (change.kind) {
    case "machineDown": {
      const machine = known(file.machines, change.machine, "machine", "machine");
      const closure = { start: change.start, end: change.end, reason: change.reason };
      return [{ kind: "machines", id: machine.id, after: { ...machine, closures: [...machine.closures, closure] } }];
    }
    case "fewerPeople": {
      const crew = known(file.crews, change.crew, "crew", "crew");
      const absence = { start: change.start, end: change.end, people: change.people, reason: change.reason };
      return [{ kind: "crews", id: crew.id, after: { ...crew, absences: [...crew.absences, absence] } }];
    }
    case "moreHours":
      return moreHours(file, change);
    case "order": {
      const order = known(file.orders, change.order, "order", "order");
      const { kind: _kind, order: _order, ...given } = change;
      const wanted = Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined));
      return [{ kind: "orders", id: order.id, after: { ...order, ...wanted } }];
    }
    case "qualify":
      return [withOperation(file, change.operation, (operation) => qualified(file, operation, change))];
    case "split":
      return [
        withOperation(file, change.operation, (operation) => ({
          ...operation,
          split: { lots: change.lots, minPieces: change.minPieces },
        })),
      ];
    case "buy":
      return bought(file, change.operation, change.minutes);
    case "newOrders":
      return newOrderEdits(file, change);
    case "extraMachine":
      return extraMachine(file, change);
    case "edits":
      return [...change.edits];
  }
}

function withOperation(file: ProblemFile, id: string, change: (operation: OperationInFile) => OperationInFile): ShopEdit {
  const order = file.orders.find(({ operations }) => operations.some((operation) => operation.id === id));
  if (order === undefined) throw new NotThere("operation", `there is no operation ${found(id)} in the shop (any more)`);
  const operations = order.operations.map((operation) => (operation.id === id ? change(operation) : operation));
  return { kind: "orders", id: order.id, after: { ...order, operations } };
}

/**
 * The part may be bought. What is bought comes all at once, so where pieces are handed on from or to its making, buying takes the
 * place of making, what follows waits for all of it, and nothing ties it to a machine any more.
 */
function bought(file: ProblemFile, id: string, minutes: number): ShopEdit[] {
  const handedOn = file.links.filter((link) => link.kind === "transfer" && (link.from === id || link.to === id));
  const more = withOperation(file, id, (operation) => {
    const mode = boughtMode(operation, minutes);
    return handedOn.length > 0
      ? { ...operation, split: null, modes: [mode] }
      : { ...operation, modes: [...operation.modes, mode] };
  });
  if (handedOn.length === 0 || more.kind !== "orders" || more.after === null) return [more];
  const own = more.after;
  const bound = file.links.filter(({ kind, from, to }) => kind !== "lag" && (from === id || to === id));
  const touched = new Set(bound.map(({ to }) => to));
  const orders = file.orders.filter(({ operations }) => operations.some((operation) => touched.has(operation.id)));
  const withLinks = (order: OrderInFile): OrderInStep => {
    const mine = new Set(order.operations.map((operation) => operation.id));
    const links = file.links
      .filter((link) => mine.has(link.to) && !(bound.includes(link) && link.kind === "sameMachine"))
      .map((link): LinkInFile => {
        if (!bound.includes(link)) return link;
        return { kind: "lag", id: link.id, from: link.from, to: link.to, minLag: 0, maxLag: null };
      });
    return { ...order, links };
  };
  const isOwn = orders.some((order) => order.id === own.id);
  return [
    { kind: "orders", id: own.id, after: isOwn ? withLinks(own) : own },
    ...orders.flatMap((order): ShopEdit[] =>
      order.id === own.id ? [] : [{ kind: "orders", id: order.id, after: withLinks(order) }],
    ),
  ];
}

type Mode = OperationInFile["modes"][number];

const freeId = (wish: string, taken: Iterable<string>): string => {
  const used = new Set(taken);
  if (!used.has(wish)) return wish;
  for (let n = 2; ; n += 1) if (!used.has(`${wish} ${n}`)) return `${wish} ${n}`;
};

/** The mode on another machine; its family stays where the other machine's set-up rule knows it. */
function onMachine(mode: Mode, at: number, machine: MachineInFile, file: ProblemFile, taken: readonly string[]): Mode {
  const families = mode.families?.map((family, i) => (i === at && !knowsFamily(machine, family, file) ? null : family));
  return {
    ...mode,
    id: freeId(`${mode.id} on ${machine.id}`, taken),
    machines: mode.machines.map((each, i) => (i === at ? machine.id : each)),
    ...(families === undefined ? {} : { families }),
  };
}

function knowsFamily({ setup }: MachineInFile, family: string | number | null | undefined, file: ProblemFile): boolean {
  if (setup.kind === "none" || family === null || family === undefined) return true;
  if (setup.kind === "temperature") return typeof family === "number";
  return file.setupTables.find(({ id }) => id === setup.table)?.families.some((each) => each === family) ?? false;
}

function qualified(
  file: ProblemFile,
  operation: OperationInFile,
  change: Extract<ScenarioChange, { kind: "qualify" }>,
): OperationInFile {
  const machine = known(file.machines, change.machine, "machine", "machine");
  const mode = change.mode === null ? operation.modes[0] : operation.modes.find(({ id }) => id === change.mode);
  if (mode === undefined)
    throw new NotThere("mode", `operation ${operation.id} has no mode ${found(change.mode)} (any more); choose another`);
  const at = change.instead === null ? 0 : mode.machines.indexOf(change.instead);
  if (mode.machines[at] === undefined)
    throw new NotThere("instead", `mode ${found(mode.id)} of ${operation.id} does not use machine ${found(change.instead)}`);
  const made = onMachine(
    mode,
    at,
    machine,
    file,
    operation.modes.map(({ id }) => id),
  );
  return { ...operation, modes: [...operation.modes, made] };
}

const boughtMode = ({ modes }: OperationInFile, minutes: number): Mode => ({
  id: freeId(
    "bought",
    modes.map(({ id }) => id),
  ),
  machines: [],
  calendar: null,
  phases: [{ kind: "run", flow: "pausable", work: { kind: "fixed", minutes }, needs: [], draws: [], maxWait: null }],
});

function extraMachine(file: ProblemFile, change: Extract<ScenarioChange, { kind: "extraMachine" }>): ShopEdit[] {
  const like = known(file.machines, change.like, "like", "machine");
  if (file.machines.some(({ id }) => id === change.id))
    throw new NotThere("id", `there is a machine ${found(change.id)} already; give the new one another id`);
  const machine: MachineInFile = { ...like, id: change.id, name: `${like.name ?? like.id} (more)`, closures: [] };
  const orders = file.orders.flatMap((order): ShopEdit[] => {
    const operations = order.operations.map((operation) => allowedOn(operation, like.id, machine, file));
    if (operations.every((operation, i) => operation === order.operations[i])) return [];
    return [{ kind: "orders", id: order.id, after: { ...order, operations } }];
  });
  return [{ kind: "machines", id: machine.id, after: machine }, ...orders];
}

function allowedOn(operation: OperationInFile, like: string, machine: MachineInFile, file: ProblemFile): OperationInFile {
  const taken = operation.modes.map(({ id }) => id);
  const more = operation.modes.flatMap((mode) => {
    const at = mode.machines.indexOf(like);
    return at < 0 ? [] : [onMachine(mode, at, machine, file, taken)];
  });
  return more.length === 0 ? operation : operationSchema.parse({ ...operation, modes: [...operation.modes, ...more] });
}

type Extra = CalendarInFile["extra"][number];

function moreHours(file: ProblemFile, change: Extract<ScenarioChange, { kind: "moreHours" }>): ShopEdit[] {
  const stretches = stretchesOf(change.when);
  if (stretches.length === 0) throw new NotThere("when", "none of these days lies between the first and the last date");
  const edits: ShopEdit[] = [];
  let shop = file;
  const make = (more: ShopEdit[]): void => {
    edits.push(...more);
    shop = applyEditsToFile(shop, more);
  };
  if (change.crew !== null) {
    const crew = known(file.crews, change.crew, "crew", "crew");
    const people = change.people === null ? {} : { people: change.people };
    const extra = stretches.map(
      (stretch): Extra => ({ ...stretch, name: "Extra", breaks: [], unsocial: change.unsocial, ...people }),
    );
    make(withExtra(shop, { kind: "crews", entity: crew }, crew.calendar, extra));
  }
  change.machines.forEach((id, i) => {
    const machine = known(shop.machines, id, `machines/${i}`, "machine");
    if (machine.calendar === null) return;
    const extra = stretches.map((stretch): Extra => ({ ...stretch, name: "Extra", breaks: [], unsocial: false }));
    make(withExtra(shop, { kind: "machines", entity: machine }, machine.calendar, extra));
  });
  return edits;
}

type Owner =
  | { readonly kind: "crews"; readonly entity: CrewInFile }
  | { readonly kind: "machines"; readonly entity: MachineInFile };

/** Hours for one crew or machine alone: a calendar that others use too is copied first. */
function withExtra(file: ProblemFile, { kind, entity }: Owner, calendarId: string, extra: readonly Extra[]): ShopEdit[] {
  const calendar = known(file.calendars, calendarId, kind === "crews" ? "crew" : "machines", "calendar");
  const alone = usersOf(file, calendarId) === 1;
  const id = alone
    ? calendarId
    : freeId(
        `${calendarId} for ${entity.id}`,
        file.calendars.map((each) => each.id),
      );
  const name = alone ? calendar.name : `${calendar.name ?? calendar.id}, ${entity.name ?? entity.id}`;
  const after = { ...calendar, id, ...(name === undefined ? {} : { name }), extra: [...calendar.extra, ...extra] };
  const edits: ShopEdit[] = [{ kind: "calendars", id, after }];
  if (alone) return edits;
  return kind === "crews"
    ? [...edits, { kind, id: entity.id, after: { ...entity, calendar: id } }]
    : [...edits, { kind, id: entity.id, after: { ...entity, calendar: id } }];
}

function usersOf(file: ProblemFile, calendar: string): number {
  const changing = [...file.supplies, ...file.kits].flatMap(({ changes }) => changes);
  const modes = file.orders.flatMap(({ operations }) => operations.flatMap((operation) => operation.modes));
  const uses = [
    ...file.machines.map((machine) => machine.calendar),
    ...file.machines.map(({ unattended }) => (unattended.kind === "allowed" ? unattended.windows : null)),
    ...file.crews.map((crew) => crew.calendar),
    ...changing.map((each) => ("calendar" in each ? each.calendar : null)),
    ...modes.map((mode) => mode.calendar),
  ];
  return uses.filter((used) => used === calendar).length;
}

/** A year of them is enough. */
const DAYS_MOST = 400;

function stretchesOf(when: Extract<ScenarioChange, { kind: "moreHours" }>["when"]): Pick<Extra, "start" | "end">[] {
  if ("start" in when) return [{ start: when.start, end: when.end }];
  const [first, last] = [dayOfDate(when.from), dayOfDate(when.last)];
  if (first === null) throw new NotThere("when/from", `there is no date ${when.from}`);
  if (last === null) throw new NotThere("when/last", `there is no date ${when.last}`);
  const out: Pick<Extra, "start" | "end">[] = [];
  for (let day = first; day <= last && day - first < DAYS_MOST; day++) {
    if (!when.days.some((weekday) => weekday === partsOfDay(day).weekday)) continue;
    const overnight = when.until <= when.begin || when.until === "24:00";
    const until = when.until === "24:00" ? "00:00" : when.until;
    out.push({ start: `${dateOfDay(day)}T${when.begin}`, end: `${dateOfDay(overnight ? day + 1 : day)}T${until}` });
  }
  return out;
}
