/**
 * How the threads of a run are told to stop: the first of their shared Int32. `inTime`: the time is up, end well, with the last touches.
 * `now`: somebody waits, hand over the best plan that is judged already. Only ever raised. Behind it
 * one for each thread, in which it says that it has a judged plan to hand over.
 */
export const STOP = { no: 0, inTime: 1, now: 2 } as const;

/** False: it was raised as far before. */
export function raiseStop(flag: SharedArrayBuffer, to: number): boolean {
  const cell = new Int32Array(flag);
  for (let held = Atomics.load(cell, 0); held < to; held = Atomics.load(cell, 0))
    if (Atomics.compareExchange(cell, 0, held, to) === held) return true;
  return false;
}

export const stopFlags = (threads: number): SharedArrayBuffer => new SharedArrayBuffer(4 * (1 + threads));

export function sayPlanInHand(flag: SharedArrayBuffer, thread: number): void {
  Atomics.store(new Int32Array(flag), 1 + thread, 1);
}

export const hasPlanInHand = (flag: SharedArrayBuffer, thread: number): boolean =>
  Atomics.load(new Int32Array(flag), 1 + thread) === 1;
