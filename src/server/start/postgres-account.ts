/**
 * The account the embedded PostgreSQL runs under: the server refuses to run as root.
 * Promises ids to start child processes with, or none when the present account will do. As root it takes `postgres`,
 * makes it when missing, and falls back to `nobody` where accounts cannot be made.
 */
import { execFile } from "node:child_process";
import process from "node:process";
import { promisify } from "node:util";

const run = promisify(execFile);

/** Present only when this process is root. */
export type Account = Readonly<{ uid: number; gid: number }> | undefined;

export async function postgresAccount(): Promise<Account> {
  if (process.getuid?.() !== 0) return undefined;
  const found = await idsOf("postgres");
  if (found) return found;
  const args = ["--system", "--user-group", "--no-create-home", "--shell", "/usr/sbin/nologin", "postgres"];
  await run("useradd", args).catch(() => undefined); // two starts at once: the second finds the first one's account below
  const account = (await idsOf("postgres")) ?? (await idsOf("nobody"));
  if (!account)
    throw new Error("PostgreSQL does not run as root, and no account `postgres` could be made. Start as another user.");
  return account;
}

async function idsOf(name: string): Promise<Account> {
  try {
    const [uid, gid] = await Promise.all([run("id", ["-u", name]), run("id", ["-g", name])]);
    return { uid: Number(uid.stdout), gid: Number(gid.stdout) };
  } catch {
    return undefined;
  }
}

/** Whether the account may pass through the folder (a clone below a closed home folder is not open to it). */
export async function canEnter(account: Account, folder: string): Promise<boolean> {
  if (!account) return true;
  return run("test", ["-x", folder], account).then(
    () => true,
    () => false,
  );
}
