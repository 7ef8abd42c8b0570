/** A command that cannot go on: what is wrong, where, and the exit code. 2: bad input, nothing was written. */
import type { Fault } from "../core/ground/result.ts";

export class CommandFailure extends Error {
  override readonly name = "CommandFailure";
  readonly exitCode: number;
  constructor(message: string, exitCode = 2) {
    super(message);
    this.exitCode = exitCode;
  }
}

/** One line per fault, at most twenty, each with its place. */
export function failureOfFaults(file: string, faults: readonly Fault[]): CommandFailure {
  const shown = faults.slice(0, 20).map((fault) => `  ${fault.at === "" ? "" : `${fault.at}: `}${fault.message}`);
  const more = faults.length > 20 ? [`  and ${faults.length - 20} more`] : [];
  return new CommandFailure([`${file} cannot be used:`, ...shown, ...more].join("\n"));
}
