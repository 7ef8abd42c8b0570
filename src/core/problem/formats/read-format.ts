/** Turns a reader that throws FormatFault into one that returns it; any other error is a bug and passes through. */
import { err, type Fault, ok, type Result } from "../../ground/result.ts";
import { FormatFault } from "./text-lines.ts";

export function readFormat<T>(read: () => T): Result<T, Fault> {
  try {
    return ok(read());
  } catch (error) {
    if (error instanceof FormatFault) return err(error.fault);
    throw error;
  }
}
