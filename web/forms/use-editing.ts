/**
 * Editing one thing of the server: a form over what was read, saved with the revision it was read at.
 * Promises: somebody else's change is never overwritten unseen. While nothing is changed here, what comes in is taken over;
 * once something is changed, the server refuses a stale revision and the person decides (412: theirs or mine).
 */
import { useCallback, useEffect, useRef, useState } from "react";
import type { z } from "zod";
import { ApiProblem, errorOf, isProblem } from "../client/api-problem.ts";
import type { Answer } from "../client/request.ts";
import type { Save } from "../client/shop.ts";
import { toast } from "../parts/toast.tsx";
import { words } from "../words/words.ts";
import { type Form, useForm } from "./use-form.ts";

export type Editing<T> = {
  readonly form: Form<T>;
  readonly saving: boolean;
  /** The refusal of the last save, when it belongs to no field. */
  readonly refusal: Error | null;
  readonly stale: boolean;
  save(): void;
  discard(): void;
  takeTheirs(): void;
  saveMine(): void;
  /** True while leaving would lose something. */
  guarded(): boolean;
};

const LEAVING_MS = 500;

type EditingOptions<T> = {
  readonly schema: z.ZodType<T>;
  /** What was read; revision null: something new. */
  readonly answer: Answer<T>;
  readonly readOnly: boolean;
  /** Said in the confirmation: "Order 2101". */
  readonly what: (value: T) => string;
  readonly id: (value: T) => string;
  readonly send: (save: Save<T>) => Promise<void>;
  readonly readAgain: () => Promise<Answer<T>>;
  readonly saved?: ((value: T) => void) | undefined;
};

export function useEditing<T>({ schema, answer, readOnly, what, id, send, readAgain, saved }: EditingOptions<T>): Editing<T> {
  const form = useForm(schema, answer.value, readOnly);
  const [base, setBase] = useState(answer);
  const [saving, setSaving] = useState(false);
  const [refusal, setRefusal] = useState<Error | null>(null);
  const [stale, setStale] = useState(false);
  const leaving = useRef(false);

  useEffect(() => {
    if (answer === base || form.changed) return;
    setBase(answer);
    form.reset(answer.value);
  }, [answer, base, form]);

  const put = (revision: number | null): void => {
    form.submit((value) => {
      setSaving(true);
      setRefusal(null);
      send({ value, id: id(value), revision })
        .then(() => {
          setStale(false);
          leaving.current = true;
          form.reset(value);
          toast(words.forms.saved(what(value)));
          saved?.(value);
          // The router asks whether it may leave a moment later; by then the form knows that nothing is changed.
          setTimeout(() => {
            leaving.current = false;
          }, LEAVING_MS);
        })
        .catch((error: unknown) => {
          if (isProblem(error, 412)) setStale(true);
          else if (error instanceof ApiProblem && error.faults.length > 0) {
            form.takeFaults(error.faults);
            setRefusal(error);
          } else setRefusal(errorOf(error));
        })
        .finally(() => setSaving(false));
    });
  };

  return {
    form,
    saving,
    refusal,
    stale,
    save: () => put(base.revision),
    discard: () => {
      setRefusal(null);
      setStale(false);
      form.reset(base.value);
    },
    takeTheirs: () => {
      readAgain()
        .then((theirs) => {
          setStale(false);
          setBase(theirs);
          form.reset(theirs.value);
        })
        .catch((error: unknown) => setRefusal(errorOf(error)));
    },
    saveMine: () => {
      readAgain()
        .then((theirs) => put(theirs.revision))
        .catch((error: unknown) => setRefusal(errorOf(error)));
    },
    guarded: useCallback(() => form.changed && !leaving.current, [form.changed]),
  };
}
