/** Expected trouble as a value: the caller must look before using it. */
export type Result<T, E> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: E };

export const ok = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });
export const err = <E>(error: E): { readonly ok: false; readonly error: E } => ({ ok: false, error });

/** One fault in something a person wrote: where it is, what is wrong, and what would be right. */
export type Fault = {
  /** Path into the input, e.g. `operations[3].modes[0].machines[1]`, or `line 7`. */
  readonly at: string;
  /** A sentence for people: what was found and what was expected. */
  readonly message: string;
};
