/**
 * The two clocks of the comparison. A limit is in wall-clock seconds, or in CPU seconds of everything this process does
 * (shared machines: whoever gets less of the machine isn't judged by it). Reading a clock changes nothing.
 */
export type Clock = "wall" | "cpu";

export const cpuSeconds = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** Calls `ring` once the limit is reached; hands back how to call it off. `threads` share a limit in CPU seconds. */
export function alarm(clock: Clock, seconds: number, threads: number, ring: () => void): () => void {
  const wall = performance.now();
  const cpu = cpuSeconds();
  const timer = setInterval(() => {
    const spent = clock === "wall" ? (performance.now() - wall) / 1000 : (cpuSeconds() - cpu) / threads;
    if (spent < seconds) return;
    clearInterval(timer);
    ring();
  }, 20);
  return () => clearInterval(timer);
}
