/**
 * State of one form: its value, what the contract's schema says about it, and what the server said after saving.
 * Promises: `submit` hands on only what the schema accepts, defaults filled in; faults appear at their field once the
 * person has left it or tried to save. Faults of the server stay until the value changes at or below their place.
 */
import { useCallback, useMemo, useState } from "react";
import type { z } from "zod";
import type { FaultAtPointer } from "../../src/contract/api/problem-details.ts";
import { faultsOfSchema } from "../../src/contract/file/faults.ts";
import { type FormSurface, faultUnder, type Lens, pointer } from "./lens.ts";

export type Form<T> = {
  readonly root: Lens<T>;
  readonly changed: boolean;
  /** Everything wrong now, also where it isn't shown yet. */
  readonly faults: readonly FaultAtPointer[];
  /** Faults that belong to no field on screen are listed above the form. */
  readonly submitted: boolean;
  submit(save: (value: T) => void): void;
  takeFaults(faults: readonly FaultAtPointer[]): void;
  reset(value: T): void;
};

/** What the schema refuses, as pointers; the sentences are the contract's own. */
export function schemaFaults(schema: z.ZodType, value: unknown): readonly FaultAtPointer[] {
  const parsed = schema.safeParse(value, { reportInput: true });
  if (parsed.success) return [];
  const sentences = faultsOfSchema(parsed.error);
  return parsed.error.issues.map((issue, i) => ({
    pointer: pointer(issue.path),
    message: sentences[i]?.message ?? issue.message,
  }));
}

export function useForm<T>(schema: z.ZodType<T>, initial: T, readOnly = false): Form<T> {
  const [base, setBase] = useState(initial);
  const [value, setValue] = useState(initial);
  const [touched, setTouched] = useState<ReadonlySet<string>>(new Set());
  const [submitted, setSubmitted] = useState(false);
  const [unreadable, setUnreadableMap] = useState<ReadonlyMap<string, string>>(new Map());
  const [answered, setAnswered] = useState<readonly FaultAtPointer[]>([]);

  const touch = useCallback((path: string) => setTouched((old) => (old.has(path) ? old : new Set(old).add(path))), []);
  const setUnreadable = useCallback(
    (path: string, message: string | null) =>
      setUnreadableMap((old) => {
        if ((old.get(path) ?? null) === message) return old;
        const next = new Map(old);
        if (message === null) next.delete(path);
        else next.set(path, message);
        return next;
      }),
    [],
  );

  const faults = useMemo(
    () => [...[...unreadable].map(([at, message]) => ({ pointer: at, message })), ...schemaFaults(schema, value), ...answered],
    [schema, value, unreadable, answered],
  );

  const form: FormSurface = useMemo(
    () => ({
      readOnly,
      touch,
      setUnreadable,
      faultAt: (path) => (submitted || touched.has(path) || answered.length > 0 ? faultUnder(faults, path) : null),
    }),
    [readOnly, touch, setUnreadable, submitted, touched, faults, answered],
  );

  const root: Lens<T> = {
    value,
    path: "",
    form,
    set: (next) => {
      setValue(next);
      setAnswered([]);
    },
  };

  return {
    root,
    changed: value !== base || unreadable.size > 0,
    faults,
    submitted,
    submit: (save) => {
      setSubmitted(true);
      const parsed = schema.safeParse(value);
      if (parsed.success && unreadable.size === 0) save(parsed.data);
    },
    takeFaults: setAnswered,
    reset: (next) => {
      setBase(next);
      setValue(next);
      setTouched(new Set());
      setSubmitted(false);
      setUnreadableMap(new Map());
      setAnswered([]);
    },
  };
}
