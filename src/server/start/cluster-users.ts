/**
 * Which live processes use one data folder: a file per process, named by its number and holding its command line.
 * Promises that the last one to leave is told so, and that a killed process does not count. Not a lock: it only decides
 * who may stop the shared server.
 */
import fs from "node:fs/promises";
import path from "node:path";
import process from "node:process";
import { commandOf } from "./process-command.ts";

export type ClusterUsers = Readonly<{
  enter(): Promise<void>;
  /** Resolves to true when nobody else is left. */
  leave(): Promise<boolean>;
  /** The number of live processes, this one included. */
  count(): Promise<number>;
}>;

export function clusterUsers(folder: string): ClusterUsers {
  const count = async (): Promise<number> => {
    let live = 0;
    for (const name of await fs.readdir(folder).catch(() => [])) {
      const file = path.join(folder, name);
      const wrote = await fs.readFile(file, "utf8").catch(() => "");
      if (wrote !== "" && wrote === (await commandOf(Number(name)))) live += 1;
      else if (name !== String(process.pid)) await fs.rm(file, { force: true });
    }
    return live;
  };
  const own = path.join(folder, String(process.pid));
  return {
    async enter() {
      await fs.mkdir(folder, { recursive: true });
      await fs.writeFile(own, await commandOf(process.pid));
    },
    async leave() {
      await fs.rm(own, { force: true });
      return (await count()) === 0;
    },
    count,
  };
}
