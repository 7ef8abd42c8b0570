/**
 * The server on a migrated database: everything that answers on the port.
 * Promises to answer before it resolves, and that `stop` lets requests under way finish.
 */
import type { AddressInfo } from "node:net";
import express from "express";

export type ServerOptions = Readonly<{
  databaseUrl: string;
  /** 0 takes any free port. */
  port: number;
  host: string;
  /** Where files that are not in the database may be kept. */
  dataFolder: string;
  /** "inside": start solver workers beside the server; "elsewhere": other processes take the jobs. */
  solverWorkers: "inside" | "elsewhere";
}>;

export type RunningServer = Readonly<{ address: string; stop(): Promise<void> }>;

export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const app = express();
  app.get("/healthz", (_request, response) => {
    response.json({ status: "ok" });
  });
  const listening = await new Promise<ReturnType<typeof app.listen>>((resolve, reject) => {
    const server = app.listen(options.port, options.host, (error) => (error ? reject(error) : resolve(server)));
  });
  const { port } = listening.address() as AddressInfo;
  return {
    address: `http://localhost:${port}`,
    stop: () => new Promise((resolve) => listening.close(() => resolve())),
  };
}
