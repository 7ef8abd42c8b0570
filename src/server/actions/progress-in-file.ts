/** Progress as core has it, in the form of files and rows (the same, but for lists that may be written to). Pure. */
import type { ProgressInFile } from "../../contract/file/order-schema.ts";
import type { Progress } from "../../core/orders/operation.ts";

export const progressInFile = ({ done, running }: Progress): ProgressInFile => ({
  done: [...done],
  running: running.map((lot) => ({ ...lot, crews: [...lot.crews] })),
});
