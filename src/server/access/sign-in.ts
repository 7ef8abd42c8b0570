/**
 * Sign-in by better-auth (e-mail and password, sessions in the database, httpOnly SameSite cookies): we keep no sessions of
 * our own. Nobody signs up by himself; accounts are made by an administrator, the first one by the one-time link.
 * Passwords are hashed by the library's own default, scrypt with a salt for each (node's crypto, off the event loop).
 */
import { randomBytes } from "node:crypto";
import type { IncomingHttpHeaders } from "node:http";
import { betterAuth } from "better-auth";
import { fromNodeHeaders } from "better-auth/node";
import { ROLES, type Role } from "../../contract/api/role.ts";
import type { Actor } from "../actions/actor.ts";
import { type Refusal, Refused } from "../actions/refused.ts";
import { keepSecret } from "../store/people-store.ts";
import type { StoreConnection } from "../store/store.ts";

export const AUTH_PATH = "/api/v1/auth";
/** Set by us on every request, whatever the client sent: without it all clients would share one rate limit. */
export const CLIENT_ADDRESS_HEADER = "x-slotwright-client";

const PASSWORD_MIN = 10;
/** Tries of one address. */
const RATE = { window: 60, max: 60 };
const SIGN_IN_RATE = { window: 60, max: 10 };

export type SignIn = {
  /** The person of the request's session; null: nobody is signed in. */
  personOf(headers: IncomingHttpHeaders): Promise<Actor | null>;
  /** Makes an account; null when the e-mail is taken. */
  createAccount(account: { name: string; email: string; password: string; role: Role }): Promise<string | null>;
  setPassword(id: string, password: string): Promise<void>;
  /** Lets the library answer one of its own addresses below AUTH_PATH; gives the cookies to set, or refuses. */
  answer(
    path: "/sign-in/email" | "/sign-out" | "/change-password",
    headers: IncomingHttpHeaders,
    body: object,
  ): Promise<readonly string[]>;
};

export async function openSignIn(store: StoreConnection, publicUrl: string): Promise<SignIn> {
  const secret = await keepSecret(store, "session", randomBytes(32).toString("base64url"));
  const auth = betterAuth({
    appName: "Slotwright",
    baseURL: publicUrl,
    basePath: AUTH_PATH,
    secret,
    database: store.pool,
    telemetry: { enabled: false },
    logger: { level: "error" },
    // A browser cannot forge Host, so a page of another origin is still refused; the address people use need not be configured.
    trustedOrigins: (request) => (request ? ownOrigins(request.headers.get("host")) : []),
    emailAndPassword: {
      enabled: true,
      disableSignUp: true,
      minPasswordLength: PASSWORD_MIN,
    },
    user: { additionalFields: { role: { type: "string", input: false, required: false, defaultValue: "viewer" } } },
    rateLimit: {
      enabled: true,
      storage: "database",
      ...RATE,
      customRules: { "/sign-in/email": SIGN_IN_RATE, "/change-password": SIGN_IN_RATE },
    },
    advanced: {
      ipAddress: { ipAddressHeaders: [CLIENT_ADDRESS_HEADER] },
      useSecureCookies: publicUrl.startsWith("https:"),
      cookiePrefix: "slotwright",
    },
  });
  const context = await auth.$context;
  return {
    async personOf(headers) {
      if (!headers.cookie) return null;
      const session = await auth.api.getSession({ headers: fromNodeHeaders(headers) });
      if (!session) return null;
      const role = ROLES.find((r) => r === session.user.role);
      return role ? { id: session.user.id, name: session.user.name, role } : null;
    },
    async createAccount({ name, email, password, role }) {
      if (await context.internalAdapter.findUserByEmail(email.toLowerCase())) return null;
      const user = await context.internalAdapter.createUser(
        { name, email: email.toLowerCase(), emailVerified: true, role },
        { method: "admin" },
      );
      await context.internalAdapter.linkAccount({
        userId: user.id,
        providerId: "credential",
        accountId: user.id,
        password: await context.password.hash(password),
      });
      return user.id;
    },
    async setPassword(id, password) {
      await context.internalAdapter.updatePassword(id, await context.password.hash(password));
    },
    async answer(path, headers, body) {
      const sent = fromNodeHeaders(headers);
      for (const name of ["content-length", "transfer-encoding", "connection"]) sent.delete(name); // they spoke of the bytes that came, not of these
      sent.set("content-type", "application/json");
      const request = new Request(new URL(AUTH_PATH + path, publicUrl), {
        method: "POST",
        headers: sent,
        body: JSON.stringify(body),
      });
      const response = await auth.handler(request);
      if (!response.ok) throw await refusalOf(response);
      return response.headers.getSetCookie();
    },
  };
}

/** The library's errors are `{ code, message }`; people and screens get ours. */
async function refusalOf(response: Response): Promise<Refused> {
  const { message } = (await response.json().catch(() => ({}))) as { message?: string };
  if (response.status === 429) return new Refused("tooMany", "Too many tries; wait a minute.");
  const kinds: Readonly<Record<number, Refusal>> = { 401: "unauthenticated", 403: "forbidden" };
  return new Refused(kinds[response.status] ?? "invalid", message ?? "The sign-in was refused.");
}

const ownOrigins = (host: string | null): string[] => (host ? [`http://${host}`, `https://${host}`] : []);
