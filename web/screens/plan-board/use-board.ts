/** One part of the board's memory for a component, so that it renders again only when that part changes - not at every step of a drag. */
import { useSyncExternalStore } from "react";
import type { BoardController } from "./board-controller.ts";
import type { BoardSnapshot } from "./board-memory.ts";

export const useBoard = <K extends keyof BoardSnapshot>(controller: BoardController, part: K): BoardSnapshot[K] =>
  useSyncExternalStore(controller.subscribe, () => controller.snapshot()[part]);
