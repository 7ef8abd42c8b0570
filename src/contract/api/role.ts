/** Who may do what: five roles, and every route names those it lets in. A role includes nothing of another by itself. */
import { z } from "zod";

export const ROLES = ["viewer", "requester", "operator", "planner", "administrator"] as const;
export const roleSchema = z.enum(ROLES).meta({ id: "Role" });
export type Role = z.infer<typeof roleSchema>;
