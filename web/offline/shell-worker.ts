/**
 * The service worker: the program itself, kept by the browser so that a reload without network opens it instead of the browser's own
 * error page. Promises: a page is asked of the server first and only without an answer taken from here; files are kept under the
 * hash of their content, so that an older program is never mixed with a newer one; nothing of the API passes through.
 */
import { cleanupOutdatedCaches, matchPrecache, type PrecacheEntry, precacheAndRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

/** Every file of this build, put in by the build (precache-plugin.ts). */
declare const SHELL_FILES: (PrecacheEntry | string)[];

const worker = globalThis as unknown as {
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
  addEventListener(kind: "install" | "activate", listener: (event: { waitUntil(promise: Promise<unknown>): void }) => void): void;
};

const PAGE = "/index.html";
/** What a proxy says while the server behind it is down. */
const NOBODY_THERE = [502, 503, 504];

async function page(request: Request): Promise<Response> {
  const answer = await fetch(request).catch(() => null);
  if (answer !== null && !NOBODY_THERE.includes(answer.status)) return answer;
  return (await matchPrecache(PAGE)) ?? answer ?? Response.error();
}

registerRoute(new NavigationRoute(({ request }) => page(request), { denylist: [/^\/(api|feeds|healthz|readyz|metrics)(\/|$)/] }));
precacheAndRoute(SHELL_FILES, { directoryIndex: null as unknown as string, cleanURLs: false });
cleanupOutdatedCaches();

// A newer program takes over at once: what is kept for the next reload is always the last one fetched.
worker.addEventListener("install", (event) => event.waitUntil(worker.skipWaiting()));
worker.addEventListener("activate", (event) => event.waitUntil(worker.clients.claim()));
