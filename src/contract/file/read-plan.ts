/**
 * The body of a plan, read: moments resolved, structure checked. Structure is what a Plan cannot be without: operations that exist,
 * each once; worked stretches in their order and apart; starts and ends that agree with them. Whether the plan is any good
 * (unknown modes, wrong lots, people who are not there) is for the checker to say, so such a plan can be read and judged.
 */
import type { Interval, Minute } from "../../core/calendar/minute.ts";
import type { Operation } from "../../core/orders/operation.ts";
import type { Plan, PlannedLot, PlannedPhase } from "../../core/problem/plan.ts";
import { type FaultList, found } from "./faults.ts";
import type { Moment } from "./field.ts";
import type { Side } from "./moment.ts";
import type { PlanBodyInFile, PlannedOperationInFile } from "./plan-schema.ts";

type Path = readonly PropertyKey[];
type ReadMinute = (path: Path, moment: Moment, side: Side) => Minute;
type LotInFile = PlannedOperationInFile["lots"][number];

export function readPlanBody(
  body: PlanBodyInFile,
  path: Path,
  operations: ReadonlyMap<string, Operation>,
  faults: FaultList,
  minute: ReadMinute,
): Plan {
  const seen = new Set<string>();
  return {
    operations: body.operations.map(({ operation: id, lots }, i) => {
      const at: Path = [...path, "operations", i];
      const operation = operations.get(id);
      if (!operation)
        faults.add(
          [...at, "operation"],
          `there is no operation ${found(id)} in the problem; remove the entry, or correct the id`,
        );
      if (seen.has(id))
        faults.add([...at, "operation"], `operation ${found(id)} stands here a second time; list all its lots in one entry`);
      seen.add(id);
      // A published plan still shows lots that ran when it was published, though they are done by now.
      const begun = operation === undefined ? 0 : operation.progress.running.length + operation.progress.done.length;
      return { operation: id, lots: lots.map((lot, j) => readLot(lot, j < begun, [...at, "lots", j], faults, minute)) };
    }),
  };
}

/** A lot of running work started before now, so only its end must agree with what is still to be worked. */
function readLot(lot: LotInFile, begun: boolean, path: Path, faults: FaultList, minute: ReadMinute): PlannedLot {
  const start = minute([...path, "start"], lot.start, "begin");
  const end = minute([...path, "end"], lot.end, "end");
  const phases = lot.phases.map((phase, i): PlannedPhase => {
    const before = lot.phases[i - 1];
    if (before && phase.phase <= before.phase)
      faults.add(
        [...path, "phases", i, "phase"],
        `phase ${phase.phase} follows phase ${before.phase}; expected each once, in the order of the mode`,
      );
    return { phase: phase.phase, work: readWork(phase.work, [...path, "phases", i, "work"], faults, minute), crews: phase.crews };
  });
  const work = phases.flatMap((phase) => phase.work);
  const first = work.reduce((least, [from]) => Math.min(least, from), Number.POSITIVE_INFINITY);
  const last = work.reduce((most, [, until]) => Math.max(most, until), Number.NEGATIVE_INFINITY);
  if (end < start) faults.add([...path, "end"], `minute ${end} lies before the start, minute ${start}`);
  else if (work.length === 0) {
    if (!begun && end > start) faults.add([...path, "phases"], "a lot without work is an instant: its end is its start");
  } else {
    if (begun ? first < start : first !== start)
      faults.add([...path, "start"], `is minute ${start}, but the first work begins at minute ${first}; they must be the same`);
    if (last !== end)
      faults.add([...path, "end"], `is minute ${end}, but the last work ends at minute ${last}; they must be the same`);
  }
  return { mode: lot.mode, pieces: lot.pieces, start, end, phases };
}

/** Stretches that touch are one. */
function readWork(
  list: LotInFile["phases"][number]["work"],
  path: Path,
  faults: FaultList,
  minute: ReadMinute,
): readonly Interval[] {
  const out: [Minute, Minute][] = [];
  list.forEach(([from, until], i) => {
    const start = minute([...path, i, 0], from, "begin");
    const end = minute([...path, i, 1], until, "end");
    const last = out.at(-1);
    if (end <= start) faults.add([...path, i], `[${start}, ${end}) is empty; expected an end after the begin`);
    else if (last && start < last[1])
      faults.add([...path, i], `begins at minute ${start}, before the stretch before it ends (${last[1]})`);
    else if (last && start === last[1]) last[1] = end;
    else out.push([start, end]);
  });
  return out;
}
