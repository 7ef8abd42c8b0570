/**
 * A lens on one place of a form's value: what stands there, how to replace it, and its path for faults.
 * Forms of any depth are built from `at` and `items`; nothing is mutated, every change makes a new root.
 */
import type { FaultAtPointer } from "../../src/contract/api/problem-details.ts";

export type Lens<T> = {
  readonly value: T;
  /** JSON pointer from the root, "" for the root itself. */
  readonly path: string;
  readonly form: FormSurface;
  set(next: T): void;
};

/** What fields need of the form they stand in. */
export type FormSurface = {
  readonly readOnly: boolean;
  faultAt(path: string): string | null;
  /** The person has left this field: from now on its faults are shown. */
  touch(path: string): void;
  /** What is typed there cannot be read at all; null takes it back. */
  setUnreadable(path: string, message: string | null): void;
};

const escaped = (step: string): string => step.replace(/~/g, "~0").replace(/\//g, "~1");

export const pointer = (steps: readonly PropertyKey[]): string => steps.map((step) => `/${escaped(String(step))}`).join("");

export const at = <T extends object, K extends keyof T & string>(lens: Lens<T>, key: K): Lens<T[K]> => ({
  value: lens.value[key],
  path: `${lens.path}/${escaped(key)}`,
  form: lens.form,
  set: (next) => lens.set({ ...lens.value, [key]: next }),
});

export const item = <T>(lens: Lens<T[]>, index: number): Lens<T> => ({
  value: lens.value[index] as T,
  path: `${lens.path}/${index}`,
  form: lens.form,
  set: (next) => lens.set(lens.value.map((old, i) => (i === index ? next : old))),
});

export const items = <T>(lens: Lens<T[]>): Lens<T>[] => lens.value.map((_, i) => item(lens, i));

/** A lens that shows another form of the same place, for example one case of a union. */
export const narrowed = <T, U extends T>(lens: Lens<T>, value: U): Lens<U> => ({
  value,
  path: lens.path,
  form: lens.form,
  set: (next) => lens.set(next),
});

export const appended = <T>(list: readonly T[], entry: T): T[] => [...list, entry];
export const without = <T>(list: readonly T[], index: number): T[] => list.filter((_, i) => i !== index);

/** The entry one place earlier (-1) or later (1). */
export function shifted<T>(list: readonly T[], index: number, by: -1 | 1): T[] {
  const to = index + by;
  if (to < 0 || to >= list.length) return [...list];
  const next = [...list];
  [next[index], next[to]] = [next[to] as T, next[index] as T];
  return next;
}

/** The nearest fault at or below a path: fields that hold a list or an object show what is wrong inside them. */
export const faultUnder = (faults: readonly FaultAtPointer[], path: string): string | null =>
  faults.find((fault) => fault.pointer === path)?.message ??
  faults.find((fault) => fault.pointer.startsWith(`${path}/`))?.message ??
  null;
