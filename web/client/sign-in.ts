/** Signing in and out, and the first administrator. */
import { command } from "./request.ts";

export const signIn = (email: string, password: string): Promise<void> =>
  command("/auth/sign-in/email", { method: "POST", body: { email, password } });
export const signOut = (): Promise<void> => command("/auth/sign-out", { method: "POST", body: {} });
export const changePassword = (currentPassword: string, newPassword: string): Promise<void> =>
  command("/auth/change-password", { method: "POST", body: { currentPassword, newPassword } });
export const becomeAdministrator = (input: {
  readonly token: string;
  readonly name: string;
  readonly email: string;
  readonly password: string;
}): Promise<void> => command("/first-administrator", { method: "POST", body: input });
