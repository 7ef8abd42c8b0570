/**
 * The program in this browser: has the service worker keep it, and says when the server has a newer one than this page runs.
 * Nothing is loaded anew by itself: somebody may be typing.
 */
const WORKER = "/offline.js";

let newer = false;
const listeners = new Set<() => void>();

export const newerProgram = {
  get: (): boolean => newer,
  subscribe(listener: () => void): () => void {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
};

/** The page that the server hands out now starts with this page's own code. */
async function isOfServer(): Promise<boolean> {
  const own = document.querySelector<HTMLScriptElement>("script[type=module][src]");
  if (!own) return true;
  const answer = await fetch("/", { cache: "no-store", headers: { Accept: "text/html" } }).catch(() => null);
  return answer === null || !answer.ok || (await answer.text()).includes(new URL(own.src).pathname);
}

/** Once, after the first screen stands. Only the built program has a worker. */
export function keepProgram(): void {
  if (!import.meta.env.PROD || !("serviceWorker" in navigator)) return;
  let kept = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (kept)
      void isOfServer().then((same) => {
        newer = !same;
        for (const listener of listeners) listener();
      });
    kept = true;
  });
  // Refused in a private window, or by a browser that wants https: the program works without.
  navigator.serviceWorker.register(WORKER).catch(() => undefined);
}

/** The server answers again after a while without: it may have been renewed meanwhile. */
export function lookForNewerProgram(): void {
  if (!import.meta.env.PROD || !("serviceWorker" in navigator)) return;
  void navigator.serviceWorker.getRegistration().then((registration) => registration?.update().catch(() => undefined));
}
