/**
 * Assertions for programmer errors. They stay on in production: a wrong plan is worse than a crash report.
 * Expected trouble (bad input, impossible work) never comes this way; it is a value of type Result.
 */
export class InvariantBroken extends Error {
  override readonly name = "InvariantBroken";
}

export function invariant(condition: unknown, message: string): asserts condition {
  if (!condition) throw new InvariantBroken(message);
}

/** Ends an exhaustive switch: a new kind that nobody handles breaks the build here. */
export function unreachable(value: never): never {
  throw new InvariantBroken(`unreachable: ${JSON.stringify(value)}`);
}

/** The value, or a crash that says what was missing. For look-ups that earlier validation guarantees. */
export function present<T>(value: T | undefined | null, what: string): T {
  if (value === undefined || value === null) throw new InvariantBroken(`missing ${what}`);
  return value;
}
