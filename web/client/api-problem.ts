/**
 * What can go wrong between a screen and the server, as two errors a screen can tell apart:
 * the server said no (RFC 9457 problem details), or it was not reached at all.
 */
import type { FaultAtPointer, ProblemDetails } from "../../src/contract/api/problem-details.ts";

export class ApiProblem extends Error {
  readonly details: ProblemDetails;

  constructor(details: ProblemDetails) {
    super(details.detail ?? details.title);
    this.name = "ApiProblem";
    this.details = details;
  }

  get status(): number {
    return this.details.status;
  }

  get faults(): readonly FaultAtPointer[] {
    return this.details.faults ?? [];
  }
}

/** No answer: network gone or server stopped. Nothing is known about whether a change arrived. */
export class NotReached extends Error {
  constructor(cause: unknown) {
    super("The server was not reached", { cause });
    this.name = "NotReached";
  }
}

/** Answered, but not with what the contract promises: screens and server are of different versions. */
export class UnexpectedAnswer extends Error {
  constructor(path: string, cause: unknown) {
    super(`The answer of ${path} does not have the agreed form`, { cause });
    this.name = "UnexpectedAnswer";
  }
}

export const isProblem = (error: unknown, status?: number): error is ApiProblem =>
  error instanceof ApiProblem && (status === undefined || error.status === status);

export const errorOf = (thrown: unknown): Error => (thrown instanceof Error ? thrown : new Error(String(thrown)));
