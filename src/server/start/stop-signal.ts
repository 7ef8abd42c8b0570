/**
 * Ctrl-C, a service manager's stop, a closed terminal: all mean "stop in good order".
 * Promises to call back once. The same signal again within moments is its echo (npm hands its own on), later it means that
 * waiting is over: the process ends at once, and the next start recovers.
 */
import process from "node:process";

const ECHO_MS = 1_500;
const EXIT_CODES = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const; // 128 + the signal's number, as shells have it

export function onStopSignal(stop: () => void): void {
  let askedAt: number | undefined;
  for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"] as const) {
    process.on(signal, () => {
      if (askedAt === undefined) {
        askedAt = performance.now();
        stop();
      } else if (performance.now() - askedAt > ECHO_MS) process.exit(EXIT_CODES[signal]);
    });
  }
}
