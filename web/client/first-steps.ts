/**
 * Whether somebody is being led from nothing to a first plan: every page then offers the way back to the next step. Kept for
 * this visit only; a closed storage means that nobody is led, which loses nothing.
 */
import { useSyncExternalStore } from "react";

const KEY = "first-steps";
const listeners = new Set<() => void>();

function read(): boolean {
  try {
    return sessionStorage.getItem(KEY) === "on";
  } catch {
    return false;
  }
}

export function leadFirstSteps(on: boolean): void {
  if (read() === on) return;
  try {
    if (on) sessionStorage.setItem(KEY, "on");
    else sessionStorage.removeItem(KEY);
  } catch {
    return;
  }
  for (const listener of listeners) listener();
}

const subscribe = (listener: () => void): (() => void) => {
  listeners.add(listener);
  return () => listeners.delete(listener);
};

export const useFirstSteps = (): boolean => useSyncExternalStore(subscribe, read);
