/** Orders and operations of a file, compiled: pieces computed, moments resolved, references and phase rules checked. */
import type { DoneLot, Mode, Operation, Phase, Progress, RunningLot } from "../../core/orders/operation.ts";
import { type Order, piecesToStart } from "../../core/orders/order.ts";
import type { Crew } from "../../core/plant/crew.ts";
import type { ProblemFile } from "../problem-file.ts";
import { type CompiledPlant, checkFamily, refer, stretch, unique } from "./compile-plant.ts";
import type { Compilation } from "./compile-problem.ts";
import { found } from "./faults.ts";
import type { Moment } from "./field.ts";
import type { OperationInFile, OrderInFile, ProgressInFile } from "./order-schema.ts";

type Path = readonly PropertyKey[];
type ModeInFile = OperationInFile["modes"][number];
type Known = {
  readonly plant: CompiledPlant;
  readonly crews: ReadonlyMap<string, Crew>;
  readonly calendars: ReadonlyMap<string, unknown>;
  readonly supplies: ReadonlyMap<string, unknown>;
  readonly kits: ReadonlyMap<string, unknown>;
  readonly time: Compilation;
};

const byId = <T extends { readonly id: string }>(list: readonly T[]): ReadonlyMap<string, T> =>
  new Map(list.map((item) => [item.id, item]));

export function compileOrders(
  file: ProblemFile,
  plant: CompiledPlant,
  time: Compilation,
): { readonly orders: readonly Order[]; readonly operations: readonly Operation[] } {
  const known: Known = {
    plant,
    crews: byId(plant.crews),
    calendars: byId(plant.calendars),
    supplies: byId(plant.supplies),
    kits: byId(plant.kits),
    time,
  };
  unique(file.orders, ["orders"], "order", time);
  const seen = new Map<string, string>();
  const orders: Order[] = [];
  const operations: Operation[] = [];
  file.orders.forEach((order, i) => {
    const at: Path = ["orders", i];
    orders.push(orderOf(order, at, time));
    const pieces = piecesToStart(order.quantity, order.scrapPerMille);
    order.operations.forEach((operation, j) => {
      const here: Path = [...at, "operations", j];
      const before = seen.get(operation.id);
      if (before !== undefined)
        time.faults.add(
          [...here, "id"],
          `operation ${found(operation.id)} stands here a second time (first in order ${before}); operation ids are unique in the whole file`,
        );
      seen.set(operation.id, order.id);
      operations.push(operationOf(operation, order.id, pieces, here, known));
    });
  });
  return { orders, operations };
}

function orderOf(order: OrderInFile, path: Path, time: Compilation): Order {
  const moment = (field: "release" | "due" | "deadline", value: Moment | null) =>
    value === null ? null : time.minute([...path, field], value, field === "release" ? "begin" : "end");
  return {
    id: order.id,
    name: order.name ?? order.id,
    kind: order.kind,
    quantity: order.quantity,
    scrapPerMille: order.scrapPerMille,
    release: moment("release", order.release) ?? 0,
    due: moment("due", order.due),
    deadline: moment("deadline", order.deadline),
    weight: order.weight,
    requester: order.requester,
  };
}

function operationOf(operation: OperationInFile, order: string, toStart: number, path: Path, known: Known): Operation {
  const { time, plant } = known;
  const pieces = toStart * operation.piecesPerUnit;
  if (pieces > PIECES_TO_START_MAX)
    time.faults.add([...path, "piecesPerUnit"], `comes to ${pieces} pieces to start; expected at most ${PIECES_TO_START_MAX}`);
  unique(operation.modes, [...path, "modes"], "mode", time);
  const modes = operation.modes.map((mode, i) => modeOf(mode, [...path, "modes", i], known));
  if (operation.startSkill !== null) checkSkill(operation.startSkill, [...path, "startSkill"], known);
  for (const field of ["needsCalibrations", "calibrates"] as const)
    operation[field].forEach((name, i) => {
      if (!plant.calibrations.has(name)) time.faults.add([...path, field, i], `no machine has a calibration ${found(name)}`);
    });
  once(
    operation.kits.map(({ kit }) => kit),
    [...path, "kits"],
    "kit",
    time,
  );
  operation.kits.forEach(({ kit }, i) => void refer(known.kits, kit, [...path, "kits", i, "kit"], "kit", time));
  return {
    id: operation.id,
    order,
    name: operation.name ?? operation.id,
    piecesPerUnit: operation.piecesPerUnit,
    pieces,
    window: windowOf(operation.window, [...path, "window"], time),
    modes,
    startSkill: operation.startSkill,
    selfStart: operation.selfStart,
    prepareEarly: operation.prepareEarly,
    split: operation.split,
    needsCalibrations: [...new Set(operation.needsCalibrations)],
    calibrates: [...new Set(operation.calibrates)],
    kits: operation.kits,
    pin: pinOf(operation.pin, [...path, "pin"], known),
    progress: progressOf(operation.progress, operation, pieces, [...path, "progress"], known),
  };
}

/** Pieces x the longest seconds per piece stay far below 2^53. */
const PIECES_TO_START_MAX = 10_000_000;

function windowOf(window: OperationInFile["window"], path: Path, time: Compilation): Operation["window"] {
  if (window.start !== null && window.end !== null) return stretch({ start: window.start, end: window.end }, path, time);
  return {
    start: window.start === null ? null : time.minute([...path, "start"], window.start, "begin"),
    end: window.end === null ? null : time.minute([...path, "end"], window.end, "end"),
  };
}

function pinOf(pin: OperationInFile["pin"], path: Path, known: Known): Operation["pin"] {
  if (pin === null || (pin.machines === null && pin.start === null)) return null;
  pin.machines?.forEach(
    (machine, i) => void refer(known.plant.machineById, machine, [...path, "machines", i], "machine", known.time),
  );
  return { machines: pin.machines, start: pin.start === null ? null : known.time.minute([...path, "start"], pin.start, "begin") };
}

function checkSkill(skill: string, path: Path, { plant, time }: Known): void {
  if (plant.skills.has(skill)) return;
  const some = [...plant.skills].slice(0, 8).join(", ");
  time.faults.add(
    path,
    `no crew has the skill ${found(skill)}; ${plant.skills.size === 0 ? "no crew has any" : `the crews have ${some}`}`,
  );
}

function once(names: readonly string[], path: Path, what: string, time: Compilation): void {
  names.forEach((name, i) => {
    if (names.indexOf(name) < i)
      time.faults.add([...path, i], `${what} ${found(name)} stands here a second time; add the amounts up in one entry`);
  });
}

function modeOf(mode: ModeInFile, path: Path, known: Known): Mode {
  const { time, plant } = known;
  once(mode.machines, [...path, "machines"], "machine", time);
  const families = mode.families ?? mode.machines.map(() => null);
  if (families.length !== mode.machines.length)
    time.faults.add(
      [...path, "families"],
      `has ${families.length} entries; expected ${mode.machines.length}, one for each machine of the mode (null: none)`,
    );
  mode.machines.forEach((id, i) => {
    const machine = refer(plant.machineById, id, [...path, "machines", i], "machine", time);
    const family = families[i] ?? null;
    if (machine && family !== null) checkFamily(family, machine.setup, id, [...path, "families", i], time);
  });
  if (families.some((family) => family !== null) && mode.phases[0]?.kind !== "prepare")
    time.faults.add(
      [...path, "phases"],
      "a mode with a setup family begins with a prepare phase (its own work may be 0 minutes), which takes the setup minutes",
    );
  if (mode.calendar !== null) {
    refer(known.calendars, mode.calendar, [...path, "calendar"], "calendar", time);
    if (mode.machines.length > 0)
      time.faults.add(
        [...path, "calendar"],
        "belongs to modes without a machine; the opening times of machines stand with the machine",
      );
  }
  const perPiece = mode.phases.filter(({ work }) => work.kind === "perPiece").length;
  if (perPiece > 1)
    time.faults.add([...path, "phases"], `${perPiece} phases work in seconds per piece; at most one of a mode may`);
  return {
    id: mode.id,
    machines: mode.machines,
    families: mode.machines.map((_, i) => families[i] ?? null),
    calendar: mode.calendar,
    phases: mode.phases.map((phase, i) => phaseOf(phase, i, [...path, "phases", i], known)),
  };
}

function phaseOf(phase: ModeInFile["phases"][number], index: number, path: Path, known: Known): Phase {
  const { time } = known;
  if (phase.kind === "prepare" && index > 0)
    time.faults.add([...path, "kind"], "a mode has at most one prepare phase, the first");
  if (phase.flow === "piecewise" && phase.work.kind !== "perPiece")
    time.faults.add(
      [...path, "flow"],
      'piecewise work is given in seconds per piece; expected work { "kind": "perPiece", "seconds": ... } or another flow',
    );
  phase.needs.forEach((need, i) => void checkSkill(need.skill, [...path, "needs", i, "skill"], known));
  once(
    phase.draws.map(({ supply }) => supply),
    [...path, "draws"],
    "supply",
    time,
  );
  phase.draws.forEach(({ supply }, i) => void refer(known.supplies, supply, [...path, "draws", i, "supply"], "supply", time));
  return phase;
}

function progressOf(progress: ProgressInFile, operation: OperationInFile, pieces: number, path: Path, known: Known): Progress {
  const { time } = known;
  const modes = byId(operation.modes);
  const done = progress.done.map((lot, i): DoneLot => {
    const at: Path = [...path, "done", i];
    refer(modes, lot.mode, [...at, "mode"], "mode", time);
    const { start, end } = stretch(lot, at, time);
    if (end > time.now) time.faults.add([...at, "end"], `ends at minute ${end}, after now (${time.now}); what is done has ended`);
    const made = lot.pieces ?? pieces;
    if ((lot.scrap ?? 0) > made) time.faults.add([...at, "scrap"], `${lot.scrap} pieces came out bad; the lot has only ${made}`);
    return { mode: lot.mode, pieces: made, start, end, ...(lot.scrap === undefined ? {} : { scrap: lot.scrap }) };
  });
  const doneSum = done.reduce((sum, lot) => sum + lot.pieces, 0);
  let left = pieces - doneSum;
  const running = progress.running.map((lot, i) => {
    const read = runningOf(lot, modes, left, [...path, "running", i], known);
    left -= read.pieces;
    return read;
  });
  const sum = pieces - left;
  if (sum > pieces) time.faults.add(path, `${sum} pieces are done or running; the operation has only ${pieces}`);
  if (sum > 0 && sum < pieces && operation.split === null)
    time.faults.add(
      path,
      `${sum} of ${pieces} pieces are done or running, yet the operation is not splittable; give it a split, or all pieces`,
    );
  return { done, running: running.sort((a, b) => a.start - b.start) };
}

function runningOf(
  lot: ProgressInFile["running"][number],
  modes: ReadonlyMap<string, ModeInFile>,
  left: number,
  path: Path,
  known: Known,
): RunningLot {
  const { time } = known;
  const start = time.minute([...path, "start"], lot.start, "begin");
  if (start > time.now)
    time.faults.add([...path, "start"], `lies at minute ${start}, after now (${time.now}); what runs has started`);
  const mode = refer(modes, lot.mode, [...path, "mode"], "mode", time);
  const phase = mode?.phases[lot.phase];
  if (mode && !phase)
    time.faults.add(
      [...path, "phase"],
      `mode ${mode.id} has ${mode.phases.length} phases; expected an index from 0 to ${mode.phases.length - 1}, found ${lot.phase}`,
    );
  if (phase && phase.needs.length !== lot.crews.length)
    time.faults.add(
      [...path, "crews"],
      `names ${lot.crews.length} crews; expected ${phase.needs.length}, one for each need of the current phase`,
    );
  lot.crews.forEach((crew, i) => void refer(known.crews, crew, [...path, "crews", i], "crew", time));
  if (lot.working && lot.remaining === 0)
    time.faults.add(
      [...path, "working"],
      "with nothing remaining the phase does not work; expected false, or the minutes that remain",
    );
  if (left < 1) time.faults.add(path, "all pieces of the operation are in other lots; leave it out");
  return { ...lot, start, pieces: lot.pieces ?? Math.max(left, 1) };
}
