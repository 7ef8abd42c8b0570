/**
 * JSON in columns: many things of one form written field by field instead of thing by thing, and what is the same written once. Thousands
 * of operations shrink to a fraction of their text, and what a reader makes of them shares its equal parts.
 * Promises: `fromColumns(inColumns(value))` is `value` as JSON has it, whatever the value; nothing here knows what the fields mean, so
 * that a new field needs no word here. What comes out shares parts and must not be changed. Pure; O(size of the value).
 */
import { invariant } from "../core/ground/invariant.ts";

type Plain = string | number | boolean | null;

/** So many values, in one of six forms. How many they are is known from outside. */
export type Column =
  /** All of them this one. */
  | { readonly same: unknown }
  /** Plain values, one by one. */
  | { readonly each: readonly Plain[] }
  /** Few different ones, and which of them each is. */
  | { readonly at: readonly number[]; readonly of: Column }
  /** Lists: how long each is, and the items of all of them, one list after the other. */
  | { readonly sizes: Column; readonly items: Column }
  /** Objects with these very keys, and a column for each key. */
  | { readonly keys: readonly string[]; readonly columns: readonly Column[] }
  /** Of several forms: to which part each belongs, and the parts. */
  | { readonly part: readonly number[]; readonly parts: readonly Column[] };

/** Objects and lists of which fewer than this share differ are written once each, and words of which fewer than that. */
const DIFFERENT_MOST = 0.7;
const WORDS_DIFFERENT_MOST = 0.3;

export const inColumns = (value: unknown): Column => written(sorted([value]), [0]);

export const fromColumns = (column: Column): unknown => valuesOf(column, 1)[0];

/** Values of one place side by side, taken apart; `id` numbers the different ones from 0 in the order of their coming. */
type Sorted = { readonly values: readonly unknown[]; readonly id: readonly number[]; readonly different: number } & (
  | { readonly kind: "plain" }
  | { readonly kind: "list"; readonly from: readonly number[]; readonly items: Sorted }
  | { readonly kind: "object"; readonly keys: readonly string[]; readonly fields: readonly Sorted[] }
  | {
      readonly kind: "mixed";
      readonly part: readonly number[];
      readonly place: readonly number[];
      readonly parts: readonly Sorted[];
    }
);

type Kind = Sorted["kind"];

const keysOf = (value: object): string[] =>
  Object.keys(value).filter((key) => (value as Record<string, unknown>)[key] !== undefined);

function sorted(values: readonly unknown[]): Sorted {
  const forms: { readonly kind: Kind; readonly keys: readonly string[]; readonly members: unknown[] }[] = [];
  const byName = new Map<string, number>();
  const part: number[] = [];
  const place: number[] = [];
  let last = 0;
  for (const value of values) {
    const kind: Kind = typeof value !== "object" || value === null ? "plain" : Array.isArray(value) ? "list" : "object";
    const keys = kind === "object" ? keysOf(value as object) : [];
    const before = forms[last];
    // Most things look like the one before them.
    if (before?.kind !== kind || before.keys.length !== keys.length || !keys.every((key, i) => key === before.keys[i])) {
      const name = `${kind} ${JSON.stringify(keys)}`;
      last = byName.get(name) ?? forms.push({ kind, keys, members: [] }) - 1;
      byName.set(name, last);
    }
    const members = forms[last]?.members ?? [];
    part.push(last);
    place.push(members.length);
    members.push(value);
  }
  const parts = forms.map(({ kind, keys, members }) => ofOneForm(kind, keys, members));
  const [only] = parts;
  if (parts.length === 1 && only) return only;
  const before = parts.map((_, i) => parts.slice(0, i).reduce((sum, { different }) => sum + different, 0));
  return {
    ...{ kind: "mixed", values, part, place, parts },
    id: part.map((form, i) => (before[form] as number) + (parts[form]?.id[place[i] as number] as number)),
    different: parts.reduce((sum, { different }) => sum + different, 0),
  };
}

function ofOneForm(kind: Kind, keys: readonly string[], values: readonly unknown[]): Sorted {
  if (kind === "list") {
    const lists = values as readonly (readonly unknown[])[];
    const from = [0];
    for (const { length } of lists) from.push((from.at(-1) as number) + length);
    const items = sorted(lists.flat(1));
    // Followed item by item: the different beginnings are numbered, and so are the different ends.
    const beginnings = new Map<number, number>();
    const ends = numbering();
    const id = lists.map((_, row) => {
      let reached = 0;
      for (let i = from[row] as number; i < (from[row + 1] as number); i++) {
        const key = reached * items.different + (items.id[i] as number);
        let next = beginnings.get(key);
        if (next === undefined) {
          next = beginnings.size + 1;
          beginnings.set(key, next);
        }
        reached = next;
      }
      return ends.of(reached);
    });
    return { kind, values, id, different: ends.count(), from, items };
  }
  if (kind === "object") {
    invariant(!keys.includes("__proto__"), "a key of that name cannot be set");
    const fields = keys.map((key) => sorted(values.map((value) => (value as Record<string, unknown>)[key])));
    let id: readonly number[] = values.map(() => 0);
    let different = Math.min(1, values.length);
    for (const field of fields) {
      if (field.different === 1) continue;
      if (different === values.length) break;
      const known = numbering();
      id = id.map((so, row) => known.of(so * field.different + (field.id[row] as number)));
      different = known.count();
    }
    return { kind, values, id, different, keys, fields };
  }
  const known = new Map<unknown, number>();
  const id = values.map((value) => {
    let number = known.get(value);
    if (number === undefined) {
      number = known.size;
      known.set(value, number);
    }
    return number;
  });
  return { kind: "plain", values, id, different: known.size };
}

/** Numbers what it is asked about from 0, in the order of its first coming. */
function numbering() {
  const known = new Map<number, number>();
  return {
    count: (): number => known.size,
    of(key: number): number {
      let number = known.get(key);
      if (number === undefined) {
        number = known.size;
        known.set(key, number);
      }
      return number;
    },
  };
}

/** The column of some of the values. */
function written(all: Sorted, rows: readonly number[]): Column {
  const known = new Map<number, number>();
  const firsts: number[] = [];
  const at = rows.map((row) => {
    const id = all.id[row] as number;
    let place = known.get(id);
    if (place === undefined) {
      place = firsts.push(row) - 1;
      known.set(id, place);
    }
    return place;
  });
  if (firsts.length === 1 && rows.length > 1) return { same: all.values[rows[0] as number] };
  if (all.kind === "plain") {
    const each = (some: readonly number[]): readonly Plain[] => some.map((row) => all.values[row] as Plain);
    const words = firsts.length < WORDS_DIFFERENT_MOST * rows.length && each(firsts).some((value) => typeof value === "string");
    return words ? { at, of: { each: each(firsts) } } : { each: each(rows) };
  }
  if (firsts.length < DIFFERENT_MOST * rows.length) return { at, of: written(all, firsts) };
  switch (all.kind) {
    case "object":
      return { keys: all.keys, columns: all.fields.map((field) => written(field, rows)) };
    case "list": {
      const sizes: number[] = [];
      const items: number[] = [];
      for (const row of rows) {
        const from = all.from[row] as number;
        const until = all.from[row + 1] as number;
        sizes.push(until - from);
        for (let item = from; item < until; item++) items.push(item);
      }
      return {
        sizes: sizes.every((each) => each === sizes[0]) && sizes.length > 0 ? { same: sizes[0] } : { each: sizes },
        items: written(all.items, items),
      };
    }
    case "mixed": {
      const used = [...new Set(rows.map((row) => all.part[row] as number))];
      return {
        part: rows.map((row) => used.indexOf(all.part[row] as number)),
        parts: used.map((form) =>
          written(
            all.parts[form] as Sorted,
            rows.filter((row) => all.part[row] === form).map((row) => all.place[row] as number),
          ),
        ),
      };
    }
  }
}

function valuesOf(column: Column, count: number): readonly unknown[] {
  if ("each" in column) return column.each;
  if ("same" in column) return new Array<unknown>(count).fill(column.same);
  if ("at" in column) {
    const { at } = column;
    const of = valuesOf(
      column.of,
      at.reduce((most, place) => Math.max(most, place + 1), 0),
    );
    return at.map((place) => of[place]);
  }
  if ("sizes" in column) {
    const sizes = valuesOf(column.sizes, count) as readonly number[];
    const items = valuesOf(
      column.items,
      sizes.reduce((sum, size) => sum + size, 0),
    );
    let until = 0;
    return sizes.map((size) => {
      until += size;
      return items.slice(until - size, until);
    });
  }
  if ("keys" in column) {
    const { keys } = column;
    const fields = column.columns.map((each) => valuesOf(each, count));
    const out: Record<string, unknown>[] = [];
    for (let row = 0; row < count; row++) {
      const one: Record<string, unknown> = {};
      for (let k = 0; k < keys.length; k++) one[keys[k] as string] = (fields[k] as readonly unknown[])[row];
      out.push(one);
    }
    return out;
  }
  const counts = column.parts.map(() => 0);
  for (const form of column.part) counts[form] = (counts[form] as number) + 1;
  const parts = column.parts.map((each, form) => valuesOf(each, counts[form] as number));
  const next = column.parts.map(() => 0);
  return column.part.map((form) => {
    const row = next[form] as number;
    next[form] = row + 1;
    return parts[form]?.[row];
  });
}
