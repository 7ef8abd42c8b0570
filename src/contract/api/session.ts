/** Who is asking, and accounts as an administrator sees them. Signing in and out itself happens under /api/v1/auth. */
import { z } from "zod";
import { roleSchema } from "./role.ts";

export const sessionSchema = z
  .object({
    user: z.object({ id: z.string(), name: z.string(), role: roleSchema }).nullable(),
    demoMode: z.boolean().meta({
      description: "No administrator exists yet: requests from this machine act as a planner. Screens must say so.",
    }),
    site: z.object({ name: z.string(), zone: z.string() }),
    /** Whether anything has been entered or loaded. */
    empty: z.boolean(),
  })
  .meta({ id: "Session" });
export type SessionView = z.infer<typeof sessionSchema>;

const account = {
  name: z.string().trim().min(1).max(200),
  email: z.email().max(300),
  password: z.string().min(10).max(200).meta({ description: "At least ten characters." }),
};

export const firstAdministratorSchema = z
  .strictObject({
    token: z.string().min(1).max(200).meta({ description: "From the one-time link that the start printed." }),
    ...account,
  })
  .meta({ id: "FirstAdministrator" });

export const signInSchema = z
  .strictObject({ email: z.string().min(1).max(300), password: z.string().min(1).max(200), rememberMe: z.boolean().optional() })
  .meta({ id: "SignIn" });
export const changePasswordSchema = z
  .strictObject({ currentPassword: z.string().min(1).max(200), newPassword: account.password })
  .meta({ id: "ChangePassword" });

export const userSchema = z
  .object({ id: z.string(), name: z.string(), email: z.string(), role: roleSchema, createdAt: z.string() })
  .meta({ id: "User" });
export const userListSchema = z.object({ items: z.array(userSchema) }).meta({ id: "UserList" });
export const newUserSchema = z.strictObject({ ...account, role: roleSchema }).meta({ id: "NewUser" });
export const userChangeSchema = z
  .strictObject({ name: account.name.optional(), role: roleSchema.optional(), password: account.password.optional() })
  .meta({ id: "UserChange" });
export type UserView = z.infer<typeof userSchema>;
