/** Light, dark, or as the system has it. Never by time of day. Kept in this browser; theme.js applies it before the first paint. */
import { useSyncExternalStore } from "react";
import type { Theme } from "../tokens/tokens.ts";

export type ThemeChoice = "system" | Theme;
const CHOICES: readonly ThemeChoice[] = ["system", "light", "dark"];
const KEY = "theme";

const listeners = new Set<() => void>();
const darkSystem = window.matchMedia("(prefers-color-scheme: dark)");
darkSystem.addEventListener("change", () => tell());

function tell(): void {
  for (const listener of listeners) listener();
}

function choice(): ThemeChoice {
  const set = document.documentElement.dataset.theme;
  return set === "light" || set === "dark" ? set : "system";
}

function shown(): Theme {
  const chosen = choice();
  return chosen === "system" ? (darkSystem.matches ? "dark" : "light") : chosen;
}

export function chooseTheme(next: ThemeChoice): void {
  if (next === "system") delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = next;
  try {
    if (next === "system") localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, next);
  } catch {
    // Storage is closed to this page: the choice lasts until it is left.
  }
  tell();
}

export const nextChoice = (now: ThemeChoice): ThemeChoice => CHOICES[(CHOICES.indexOf(now) + 1) % CHOICES.length] as ThemeChoice;

const subscribe = (listener: () => void): (() => void) => {
  listeners.add(listener);
  return () => listeners.delete(listener);
};

export const useThemeChoice = (): ThemeChoice => useSyncExternalStore(subscribe, choice);
/** The theme on screen, for what paints by itself. */
export const useTheme = (): Theme => useSyncExternalStore(subscribe, shown);
