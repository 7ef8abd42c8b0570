/**
 * The first administrator and the demo before him. A start without an administrator makes a new one-time link (only its
 * hash is kept); until it is used, requests from this very machine act as a planner, and screens say so.
 */
import { createHash, randomBytes } from "node:crypto";
import type { IncomingMessage } from "node:http";
import type { Actor } from "../actions/actor.ts";
import { Refused } from "../actions/refused.ts";
import { record } from "../store/audit.ts";
import { countAdministrators, lockPeople, replaceSecret, spendSecret } from "../store/people-store.ts";
import type { StoreConnection } from "../store/store.ts";
import type { SignIn } from "./sign-in.ts";

const SECRET = "first-administrator";
const hashed = (token: string): string => createHash("sha256").update(token).digest("hex");

export const DEMO_PLANNER: Actor = { id: "demo", name: "Demo planner", role: "planner" };

/** The path of the one-time link, or null when an administrator exists. Each start makes the links before it worthless. */
export async function firstAdministratorLink(store: StoreConnection): Promise<string | null> {
  if ((await countAdministrators(store)) > 0) return null;
  const token = randomBytes(32).toString("base64url");
  await replaceSecret(store, SECRET, hashed(token));
  return `/first-administrator?token=${token}`;
}

export async function makeFirstAdministrator(
  store: StoreConnection,
  signIn: SignIn,
  { token, ...account }: { token: string; name: string; email: string; password: string },
): Promise<void> {
  await store.inTransaction(async (locked) => {
    await lockPeople(locked);
    if ((await countAdministrators(locked)) > 0)
      throw new Refused("conflict", "There is an administrator already; ask that person for an account.");
    if (!(await spendSecret(locked, SECRET, hashed(token))))
      throw new Refused("forbidden", "This link is not valid (any more). Start the server again: it prints a new one.");
  });
  // Outside the transaction, because the sign-in library has a connection of its own; should it fail, the next start prints a new link.
  const id = await signIn.createAccount({ ...account, role: "administrator" });
  if (id === null)
    throw new Refused("conflict", "Somebody with this e-mail address has an account already.", [
      { pointer: "/email", message: "is taken" },
    ]);
  await record(store, account.name, "made", "first administrator", { email: account.email });
}

const LOOPBACK = new Set(["127.0.0.1", "::1", "::ffff:127.0.0.1"]);
const LOCAL_NAMES = /^(localhost|127\.0\.0\.1|\[::1\])(:\d+)?$/;

/** From this machine itself: no proxy in between, and asked for under a local name (a foreign page could point its name here). */
export function isLoopback(request: IncomingMessage): boolean {
  const { headers, socket } = request;
  const forwarded = headers["x-forwarded-for"] ?? headers.forwarded ?? headers["x-real-ip"];
  return forwarded === undefined && LOOPBACK.has(socket.remoteAddress ?? "") && LOCAL_NAMES.test(headers.host ?? "");
}
