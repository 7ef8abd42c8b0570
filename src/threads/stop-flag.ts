/**
 * How the threads of a run are told to stop: one shared Int32. `inTime`: the time is up, end well, with the last touches.
 * `now`: somebody waits, hand over the best plan that is judged already. Only ever raised.
 */
export const STOP = { no: 0, inTime: 1, now: 2 } as const;

/** False: it was raised as far before. */
export function raiseStop(flag: SharedArrayBuffer, to: number): boolean {
  const cell = new Int32Array(flag);
  for (let held = Atomics.load(cell, 0); held < to; held = Atomics.load(cell, 0))
    if (Atomics.compareExchange(cell, 0, held, to) === held) return true;
  return false;
}
