/** Who asks: a signed-in person, or the demo's planner. */
import type { Role } from "../../contract/api/role.ts";

export type Actor = { readonly id: string; readonly name: string; readonly role: Role };
