/**
 * The whole server on a database of its own, asked over HTTP like by anybody else. People of every role are made on demand;
 * until the first is, the server is in demo mode.
 */
import process from "node:process";
import { vi } from "vitest";
import type { ProblemDetails } from "../../../src/contract/api/problem-details.ts";
import { ROLES, type Role } from "../../../src/contract/api/role.ts";
import { openSignIn } from "../../../src/server/access/sign-in.ts";
import { type RunningServer, startServer } from "../../../src/server/start/server.ts";
import { openStore, type StoreConnection } from "../../../src/server/store/store.ts";
import { freshDatabase } from "./fresh-database.ts";

export type Reply<T> = Readonly<{ status: number; body: T; etag: string | null; headers: Headers }>;
export type Ask = Readonly<{
  body?: unknown;
  ifMatch?: string | null;
  as?: Role | "nobody";
  headers?: Readonly<Record<string, string>>;
}>;

export type ShopServer = Readonly<{
  databaseUrl: string;
  store: StoreConnection;
  /** What the start printed. */
  printed: readonly string[];
  address(): string;
  ask<T = ProblemDetails>(method: string, path: string, ask?: Ask): Promise<Reply<T>>;
  /** Makes one person of each role and signs them in. */
  people(): Promise<void>;
  restart(): Promise<void>;
  close(): Promise<void>;
}>;

export const PASSWORD = "a long enough secret";

export async function shopServer(options: { demo?: boolean; solverWorkers?: "inside" | "elsewhere" } = {}): Promise<ShopServer> {
  const database = await freshDatabase();
  const printed: string[] = [];
  process.env.LOG_LEVEL = "silent";
  process.env.DEMO = options.demo ? "yes" : "no";
  process.env.SOLVER_THREADS = "1";
  const start = async (): Promise<RunningServer> => {
    const spy = vi.spyOn(console, "log").mockImplementation((line: string) => void printed.push(line));
    try {
      return await startServer({
        databaseUrl: database.url,
        port: 0,
        host: "127.0.0.1",
        dataFolder: "/nonexistent",
        solverWorkers: options.solverWorkers ?? "elsewhere",
      });
    } finally {
      spy.mockRestore();
    }
  };
  let running = await start();
  const store = openStore(database.url);
  const cookies = new Map<Role, string>();

  async function ask<T>(method: string, path: string, { body, ifMatch, as, headers }: Ask = {}): Promise<Reply<T>> {
    const cookie = as === undefined || as === "nobody" ? undefined : cookies.get(as);
    const response = await fetch(running.address + (path.startsWith("/api") || !path.startsWith("/") ? path : `/api/v1${path}`), {
      method,
      redirect: "manual",
      headers: {
        ...(body === undefined ? {} : { "content-type": "application/json" }),
        ...(ifMatch ? { "if-match": ifMatch } : {}),
        ...(cookie ? { cookie } : {}),
        ...headers,
      },
      ...(body === undefined ? {} : { body: typeof body === "string" ? body : JSON.stringify(body) }),
    });
    const text = await response.text();
    const isJson = response.headers.get("content-type")?.includes("json") === true;
    return {
      status: response.status,
      body: (isJson ? JSON.parse(text) : text) as T,
      etag: response.headers.get("etag"),
      headers: response.headers,
    };
  }

  return {
    databaseUrl: database.url,
    store,
    printed,
    address: () => running.address,
    ask,
    async people() {
      const signIn = await openSignIn(store, running.address);
      for (const role of ROLES) {
        await signIn.createAccount({ name: `The ${role}`, email: `${role}@example.test`, password: PASSWORD, role });
        const { headers, status } = await ask("POST", "/auth/sign-in/email", {
          body: { email: `${role}@example.test`, password: PASSWORD },
        });
        if (status !== 204) throw new Error(`${role} could not sign in: ${status}`);
        cookies.set(
          role,
          headers
            .getSetCookie()
            .map((cookie) => cookie.split(";")[0])
            .join("; "),
        );
      }
    },
    async restart() {
      await running.stop();
      running = await start();
    },
    async close() {
      await running.stop();
      await store.close();
      await database.drop();
    },
  };
}
