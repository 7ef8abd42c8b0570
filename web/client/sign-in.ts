/** Signing in and out, and the first administrator. */
import { forgetAnswers } from "./kept-answers.ts";
import { command } from "./request.ts";

/** What this browser keeps is of whoever was here before. */
export const signIn = async (email: string, password: string): Promise<void> => {
  await command("/auth/sign-in/email", { method: "POST", body: { email, password } });
  await forgetAnswers();
};
export const signOut = async (): Promise<void> => {
  await command("/auth/sign-out", { method: "POST", body: {} });
  await forgetAnswers();
};
export const changePassword = (currentPassword: string, newPassword: string): Promise<void> =>
  command("/auth/change-password", { method: "POST", body: { currentPassword, newPassword } });
export const becomeAdministrator = (input: {
  readonly token: string;
  readonly name: string;
  readonly email: string;
  readonly password: string;
}): Promise<void> => command("/first-administrator", { method: "POST", body: input });
