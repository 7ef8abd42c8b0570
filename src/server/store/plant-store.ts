/**
 * Calendars, machines, crews, supplies, kits, setup tables, route templates, run-hour and upkeep rules: each row holds the entity
 * as written, its place in the list, its revision, and in columns of their own the ids it points at, so that the
 * database refuses a dangling one.
 */
import type { PlantEntity, PlantKind } from "../../contract/api/shop.ts";
import { json, type Store } from "./store.ts";

export type Stored<T> = { readonly body: T; readonly revision: number; readonly position: number };

type Row = { id: string; body: unknown; revision: number; position: number };
type Fields = { id: string; name: string; position: number; body: ReturnType<typeof json> };

/** How one kind is written. Prisma's delegates share no usable type, so each kind names its own calls. */
type Room<K extends PlantKind> = {
  rows(store: Store): Promise<Row[]>;
  row(store: Store, id: string): Promise<Row | null>;
  /** Makes or replaces; the revision starts at 1 and grows. */
  write(store: Store, fields: Fields, entity: PlantEntity<K>): Promise<{ revision: number }>;
  remove(store: Store, id: string): Promise<void>;
  last(store: Store): Promise<number>;
};

const order: { orderBy: [{ position: "asc" }, { id: "asc" }] } = { orderBy: [{ position: "asc" }, { id: "asc" }] };
const again = { revision: { increment: 1 } } as const;
const kept = ({ position: _position, ...rest }: Fields) => rest;
const top = (max: { _max: { position: number | null } }): number => max._max.position ?? 0;

const rooms: { readonly [K in PlantKind]: Room<K> } = {
  calendars: {
    rows: (s) => s.db.calendar.findMany({ ...order }),
    row: (s, id) => s.db.calendar.findUnique({ where: { id } }),
    write: (s, f) => s.db.calendar.upsert({ where: { id: f.id }, create: f, update: { ...kept(f), ...again } }),
    remove: async (s, id) => void (await s.db.calendar.delete({ where: { id } })),
    last: async (s) => top(await s.db.calendar.aggregate({ _max: { position: true } })),
  },
  "setup-tables": {
    rows: (s) => s.db.setupTable.findMany({ ...order }),
    row: (s, id) => s.db.setupTable.findUnique({ where: { id } }),
    write: (s, f) => s.db.setupTable.upsert({ where: { id: f.id }, create: f, update: { ...kept(f), ...again } }),
    remove: async (s, id) => void (await s.db.setupTable.delete({ where: { id } })),
    last: async (s) => top(await s.db.setupTable.aggregate({ _max: { position: true } })),
  },
  machines: {
    rows: (s) => s.db.machine.findMany({ ...order }),
    row: (s, id) => s.db.machine.findUnique({ where: { id } }),
    write: (s, f, machine) => {
      const refs = {
        calendarId: machine.calendar,
        setupTableId: machine.setup.kind === "table" ? machine.setup.table : null,
        unattendedCalendarId: machine.unattended.kind === "allowed" ? machine.unattended.windows : null,
      };
      return s.db.machine.upsert({ where: { id: f.id }, create: { ...f, ...refs }, update: { ...kept(f), ...refs, ...again } });
    },
    remove: async (s, id) => void (await s.db.machine.delete({ where: { id } })),
    last: async (s) => top(await s.db.machine.aggregate({ _max: { position: true } })),
  },
  crews: {
    rows: (s) => s.db.crew.findMany({ ...order }),
    row: (s, id) => s.db.crew.findUnique({ where: { id } }),
    write: (s, f, crew) => {
      const refs = { calendarId: crew.calendar };
      return s.db.crew.upsert({ where: { id: f.id }, create: { ...f, ...refs }, update: { ...kept(f), ...refs, ...again } });
    },
    remove: async (s, id) => void (await s.db.crew.delete({ where: { id } })),
    last: async (s) => top(await s.db.crew.aggregate({ _max: { position: true } })),
  },
  supplies: {
    rows: (s) => s.db.supply.findMany({ ...order }),
    row: (s, id) => s.db.supply.findUnique({ where: { id } }),
    write: async (s, f, supply) => {
      const row = await s.db.supply.upsert({ where: { id: f.id }, create: f, update: { ...kept(f), ...again } });
      await s.db.supplyCalendar.deleteMany({ where: { supplyId: f.id } });
      await s.db.supplyCalendar.createMany({ data: calendarsOf(supply.changes).map((c) => ({ supplyId: f.id, ...c })) });
      return row;
    },
    remove: async (s, id) => void (await s.db.supply.delete({ where: { id } })),
    last: async (s) => top(await s.db.supply.aggregate({ _max: { position: true } })),
  },
  kits: {
    rows: (s) => s.db.kit.findMany({ ...order }),
    row: (s, id) => s.db.kit.findUnique({ where: { id } }),
    write: async (s, f, kit) => {
      const row = await s.db.kit.upsert({ where: { id: f.id }, create: f, update: { ...kept(f), ...again } });
      await s.db.kitCalendar.deleteMany({ where: { kitId: f.id } });
      await s.db.kitCalendar.createMany({ data: calendarsOf(kit.changes).map((c) => ({ kitId: f.id, ...c })) });
      return row;
    },
    remove: async (s, id) => void (await s.db.kit.delete({ where: { id } })),
    last: async (s) => top(await s.db.kit.aggregate({ _max: { position: true } })),
  },
  routes: {
    rows: (s) => s.db.routeTemplate.findMany({ ...order }),
    row: (s, id) => s.db.routeTemplate.findUnique({ where: { id } }),
    write: (s, f) => s.db.routeTemplate.upsert({ where: { id: f.id }, create: f, update: { ...kept(f), ...again } }),
    remove: async (s, id) => void (await s.db.routeTemplate.delete({ where: { id } })),
    last: async (s) => top(await s.db.routeTemplate.aggregate({ _max: { position: true } })),
  },
  "run-hour-rules": {
    rows: (s) => s.db.runHourRule.findMany({ ...order }),
    row: (s, id) => s.db.runHourRule.findUnique({ where: { id } }),
    write: async (s, f, rule) => {
      const own = { machineId: rule.machine, counter: rule.counter, limit: rule.limit };
      const row = await s.db.runHourRule.upsert({
        where: { id: f.id },
        create: { ...f, ...own },
        update: { ...kept(f), ...own, ...again },
      });
      await s.db.runHourRuleOperation.deleteMany({ where: { ruleId: f.id } });
      await s.db.runHourRuleOperation.createMany({
        data: rule.operations.map((operationId, position) => ({ ruleId: f.id, position, operationId })),
      });
      return row;
    },
    remove: async (s, id) => void (await s.db.runHourRule.delete({ where: { id } })),
    last: async (s) => top(await s.db.runHourRule.aggregate({ _max: { position: true } })),
  },
  "upkeep-rules": {
    rows: (s) => s.db.upkeepRule.findMany({ ...order }),
    row: (s, id) => s.db.upkeepRule.findUnique({ where: { id } }),
    write: (s, f, rule) => {
      const refs = { machineId: rule.machine };
      return s.db.upkeepRule.upsert({
        where: { id: f.id },
        create: { ...f, ...refs },
        update: { ...kept(f), ...refs, ...again },
      });
    },
    remove: async (s, id) => void (await s.db.upkeepRule.delete({ where: { id } })),
    last: async (s) => top(await s.db.upkeepRule.aggregate({ _max: { position: true } })),
  },
};

const calendarsOf = (changes: readonly object[]): { position: number; calendarId: string }[] =>
  changes.flatMap((change, position) =>
    "calendar" in change && typeof change.calendar === "string" ? [{ position, calendarId: change.calendar }] : [],
  );

const stored = <K extends PlantKind>(row: Row): Stored<PlantEntity<K>> => ({
  body: row.body as PlantEntity<K>,
  revision: row.revision,
  position: row.position,
});

export const listPlant = async <K extends PlantKind>(store: Store, kind: K): Promise<Stored<PlantEntity<K>>[]> =>
  (await rooms[kind].rows(store)).map((row) => stored<K>(row));

export async function readPlant<K extends PlantKind>(store: Store, kind: K, id: string): Promise<Stored<PlantEntity<K>> | null> {
  const row = await rooms[kind].row(store, id);
  return row && stored<K>(row);
}

/** Something new goes to the end of its list, or to its place of before. */
export async function writePlant<K extends PlantKind>(
  store: Store,
  kind: K,
  entity: PlantEntity<K>,
  place?: number,
): Promise<number> {
  const name = ("name" in entity ? entity.name : undefined) ?? entity.id;
  const position = place ?? (await rooms[kind].last(store)) + 1;
  const { revision } = await rooms[kind].write(store, { id: entity.id, name, position, body: json(entity) }, entity);
  return revision;
}

export const removePlant = (store: Store, kind: PlantKind, id: string): Promise<void> => rooms[kind].remove(store, id);
