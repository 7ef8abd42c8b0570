/** New machines, crews, calendars and so on, as their forms begin with them. Pure. */
import type { PlantEntity, PlantKind } from "../../../src/contract/api/shop.ts";
import type { CalendarInFile } from "../../../src/contract/file/calendar-schema.ts";
import { newMode, newOperation } from "../orders/order-defaults.ts";

export type WeeklyInForm = CalendarInFile["weekly"][number];
export type EntryInForm = Omit<WeeklyInForm, "days">;

export const newEntry = (): EntryInForm => ({ from: "06:00", until: "14:00", breaks: [], unsocial: false });
export const newWeekly = (): WeeklyInForm => ({ days: [1, 2, 3, 4, 5], ...newEntry() });

/** What a fresh entity may lean on. */
export type Neighbours = {
  readonly calendars: readonly { readonly id: string }[];
  readonly machines: readonly { readonly id: string }[];
  /** There is none of its kind yet. */
  readonly first: boolean;
};

type Fresh = { readonly [K in PlantKind]: (id: string, neighbours: Neighbours) => PlantEntity<K> };

export const FRESH: Fresh = {
  calendars: (id) => ({ id, name: "", weekly: [newWeekly()], exceptions: [], recurring: [], extra: [] }),
  machines: (id, { calendars }) => ({
    id,
    name: "",
    group: "",
    kind: "machine",
    calendar: calendars[0]?.id ?? null,
    closures: [],
    setup: { kind: "none" },
    family: null,
    unattended: { kind: "never" },
    calibrations: [],
    abilities: [],
  }),
  // Without any skill nobody could be asked for: the first crew can at least operate.
  crews: (id, { calendars, first }) => ({
    id,
    name: "",
    skills: first ? ["operator"] : [],
    calendar: calendars[0]?.id ?? "",
    people: 100,
    absences: [],
  }),
  supplies: (id) => ({ id, name: "", unit: "kW", amount: 100, changes: [] }),
  kits: (id) => ({ id, name: "", count: 1, changes: [] }),
  "setup-tables": (id) => ({
    id,
    name: "",
    families: ["A", "B"],
    minutes: [
      [0, 30],
      [30, 0],
    ],
  }),
  routes: (id, { machines }) => ({
    id,
    name: "",
    operations: [newOperation(`${id}/10`, newMode(machines[0]?.id ?? "bench", machines[0] ? [machines[0].id] : [], undefined))],
    links: [],
  }),
  "run-hour-rules": (id, { machines }) => ({ id, machine: machines[0]?.id ?? "", counter: 0, limit: 500 * 60, operations: [] }),
  "upkeep-rules": (id, { machines }) => ({
    id,
    name: "",
    machine: machines[0]?.id ?? "",
    trigger: { kind: "days", every: 30, first: "2026-01-01", counted: "lastDone" },
    aheadDays: 30,
    earlyDays: 7,
    lateDays: 3,
    task: { title: "Service", minutes: 120, skill: "maintenance", people: 100 },
  }),
};

/** An id made of a name: "Mill 2, pallets" -> "mill-2-pallets"; with a number when it is taken. */
export function idOfName(name: string, taken: ReadonlySet<string>, fallback: string): string {
  const base =
    name
      .normalize("NFD")
      .replace(/[\u0300-\u036f]/g, "")
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-+|-+$/g, "")
      .slice(0, 60) || fallback;
  if (!taken.has(base)) return base;
  for (let i = 2; ; i += 1) if (!taken.has(`${base}-${i}`)) return `${base}-${i}`;
}

type SetupTable = PlantEntity<"setup-tables">;

/** The same tables of minutes after a family was added, removed or renamed. */
export const withFamily = (table: SetupTable, name: string, minutes: number): SetupTable => ({
  ...table,
  families: [...table.families, name],
  minutes: [...table.minutes.map((row) => [...row, minutes]), [...table.families.map(() => minutes), 0]],
});

export const withoutFamily = (table: SetupTable, index: number): SetupTable => ({
  ...table,
  families: table.families.filter((_, i) => i !== index),
  minutes: table.minutes.filter((_, i) => i !== index).map((row) => row.filter((_, i) => i !== index)),
});

export const withMinutes = (table: SetupTable, from: number, to: number, minutes: number): SetupTable => ({
  ...table,
  minutes: table.minutes.map((row, i) => (i === from ? row.map((old, j) => (j === to ? minutes : old)) : row)),
});

/** Below the diagonal as above it: most changes cost the same in both directions. */
export const mirrored = (table: SetupTable): SetupTable => ({
  ...table,
  minutes: table.minutes.map((row, i) => row.map((old, j) => (j < i ? (table.minutes[j]?.[i] ?? old) : old))),
});
