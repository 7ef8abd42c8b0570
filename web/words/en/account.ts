/** One's own account. */
export const account = {
  title: "Your account",
  about: (name: string, role: string) => `${name}, ${role}. An administrator can change name and role.`,
  demo: "Demo mode: whoever opens the page on this machine plans, and there are no accounts. The start of the server printed a link that makes the first administrator.",
  nobody: "Nobody is signed in here.",
  password: "Password",
  current: "Password so far",
  next: "New password",
  again: "New password again",
  tooShort: "At least ten characters.",
  differs: "Not the same as above.",
  others: "Everywhere else you are signed in, you will have to sign in again.",
  act: "Change password",
  changed: "Password changed. Other devices have to sign in again.",
};
