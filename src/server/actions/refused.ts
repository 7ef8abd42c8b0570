/**
 * Expected trouble of an action. Thrown, not returned, because it must also roll the transaction back;
 * only api/ turns it into a status, and everything else that is thrown is a bug.
 */
import type { FaultAtPointer } from "../../contract/api/problem-details.ts";

export type Refusal =
  /** No such thing. */
  | "notFound"
  /** The state of the shop forbids it: still in use, overlapping, not empty. */
  | "conflict"
  /** Well-formed and wrong: faults say where. */
  | "invalid"
  /** Somebody else changed it in between. */
  | "stale"
  /** If-Match is needed and missing. */
  | "unconditional"
  | "unauthenticated"
  | "forbidden"
  | "tooMany";

export class Refused extends Error {
  override readonly name = "Refused";
  readonly refusal: Refusal;
  readonly faults: readonly FaultAtPointer[];
  constructor(refusal: Refusal, detail: string, faults: readonly FaultAtPointer[] = []) {
    super(detail);
    this.refusal = refusal;
    this.faults = faults;
  }
}

export const noSuch = (what: string, id: string): Refused => new Refused("notFound", `There is no ${what} "${id}".`);

/** What the caller believes to change: the revision of If-Match, `any` for `*`, null when nothing was said. */
export type Expected = number | "any" | null;

/** Checks what the caller believes against what is there (null: nothing). */
export function expectRevision(expected: Expected, actual: number | null, what: string): void {
  if (actual === null) {
    if (expected !== null) throw new Refused("stale", `${what} is not there (any more); leave out If-Match to make it.`);
    return;
  }
  if (expected === null)
    throw new Refused("unconditional", `${what} exists. Send its ETag in If-Match, so that nobody's change is lost.`);
  if (expected !== "any" && expected !== actual)
    throw new Refused(
      "stale",
      `${what} was changed in between (it is at revision ${actual}, you changed ${expected}). Read it again and repeat the change.`,
    );
}
