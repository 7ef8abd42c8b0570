/** What the frame says and does about the network: lost, from when the screen is, and everything read again once the server answers. */
import { useQueryClient } from "@tanstack/react-query";
import { useEffect, useRef, useSyncExternalStore } from "react";
import { type Connection, connection } from "../client/connection.ts";
import { shownFrom } from "../client/kept-answers.ts";
import { lookForNewerProgram, newerProgram } from "../offline/program.ts";

export type Offline = {
  readonly connection: Connection;
  /** What is on the screen was read then, by an earlier page of this browser. */
  readonly from: Date | null;
  /** The server has a newer program than this page. */
  readonly newer: boolean;
};

export function useOffline(): Offline {
  const reached = useSyncExternalStore(connection.subscribe, connection.get);
  const from = useSyncExternalStore(shownFrom.subscribe, shownFrom.get);
  const newer = useSyncExternalStore(newerProgram.subscribe, newerProgram.get);
  const client = useQueryClient();
  const before = useRef(reached);
  useEffect(() => {
    if (reached === "reached" && before.current === "lost") lookForNewerProgram();
    before.current = reached;
    if (reached === "lost" || from === null) return;
    shownFrom.clear();
    void client.invalidateQueries();
  }, [reached, from, client]);
  return { connection: reached, from, newer };
}
