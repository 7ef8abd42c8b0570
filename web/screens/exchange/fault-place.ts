/** Faults of a file as people look for them: which list, which entry (with its id), which field. Pure. */
import type { FaultAtPointer } from "../../../src/contract/api/problem-details.ts";

export type PlacedFault = { readonly place: string; readonly entry: string; readonly field: string; readonly message: string };

const unescaped = (step: string): string => step.replace(/~1/g, "/").replace(/~0/g, "~");

/** Steps of a JSON pointer, or of the dotted paths in which files name their faults. */
export function stepsOf(pointer: string): readonly string[] {
  if (pointer === "" || pointer === "(file)") return [];
  if (pointer.startsWith("/")) return pointer.slice(1).split("/").map(unescaped);
  return pointer
    .replace(/\[(\d+)\]/g, ".$1")
    .split(".")
    .filter((step) => step !== "");
}

const at = (value: unknown, step: string): unknown =>
  typeof value === "object" && value !== null ? (value as Readonly<Record<string, unknown>>)[step] : undefined;

/** "operations 3 (2101/30)": numbers count from one, as people do. */
export function placedFault(fault: FaultAtPointer, file: unknown): PlacedFault {
  const steps = stepsOf(fault.pointer);
  const entries: string[] = [];
  const field: string[] = [];
  let value: unknown = file;
  steps.forEach((step, i) => {
    const list = steps[i - 1];
    value = at(value, step);
    if (/^\d+$/.test(step) && list !== undefined) {
      const id = at(value, "id");
      entries.push(`${list} ${Number(step) + 1}${typeof id === "string" ? ` (${id})` : ""}`);
      field.length = 0;
    } else field.push(step);
  });
  const place = steps[0] ?? "";
  return {
    place,
    entry: entries.join(", "),
    field: field[0] === place && entries.length > 0 ? field.slice(1).join(" ") : field.join(" "),
    message: fault.message,
  };
}
