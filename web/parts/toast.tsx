/** Short confirmations that repeat the verb of the button: "Order saved". Announced politely, gone after a few seconds. */
import { useSyncExternalStore } from "react";

type Toast = { readonly key: number; readonly text: string };

const SHOWN_MS = 5000;
let toasts: readonly Toast[] = [];
let nextKey = 1;
const listeners = new Set<() => void>();

function replace(next: readonly Toast[]): void {
  toasts = next;
  for (const listener of listeners) listener();
}

export function toast(text: string): void {
  const key = nextKey++;
  replace([...toasts, { key, text }]);
  setTimeout(() => replace(toasts.filter((entry) => entry.key !== key)), SHOWN_MS);
}

const subscribe = (listener: () => void): (() => void) => {
  listeners.add(listener);
  return () => listeners.delete(listener);
};

export function Toasts() {
  const shown = useSyncExternalStore(subscribe, () => toasts);
  return (
    <div className="toasts" role="status" aria-live="polite">
      {shown.map(({ key, text }) => (
        <div className="toast slides-in" key={key}>
          {text}
        </div>
      ))}
    </div>
  );
}
