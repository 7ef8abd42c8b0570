/** The JSON Schemas (draft 2020-12) of the problem file and the plan file, made from the very schemas that read them. */
import { z } from "zod";
import { present } from "../core/ground/invariant.ts";
import { planFileSchema } from "./plan-file.ts";
import { problemFileSchema } from "./problem-file.ts";

/** As people write the file: whatever has a default may be left out. The file itself stands at the root, its parts under $defs. */
export function jsonSchema(of: "problem" | "plan"): Readonly<Record<string, unknown>> {
  const [schema, name] = of === "problem" ? [problemFileSchema, "ProblemFile"] : [planFileSchema, "PlanFile"];
  const { $schema, $defs } = z.toJSONSchema(schema, { io: "input", target: "draft-2020-12" });
  const { [name]: root, ...parts } = present($defs, "named parts of the schema");
  return { $schema, ...root, $defs: parts };
}
