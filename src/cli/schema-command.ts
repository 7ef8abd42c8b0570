/** `slotwright schema`: prints the JSON Schema of the problem or plan file. */
import { jsonSchema } from "../contract/json-schema.ts";
import { CommandFailure } from "./failure.ts";

export const SCHEMA_HELP = `slotwright schema problem|plan
  Prints the JSON Schema of the file format.`;

export function schemaCommand(args: string[]): number {
  const [which] = args;
  if (which !== "problem" && which !== "plan") throw new CommandFailure(SCHEMA_HELP);
  console.log(JSON.stringify(jsonSchema(which), null, 2));
  return 0;
}
