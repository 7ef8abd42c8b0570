/**
 * The board's memory outside React: model, camera, choice, focus and the bar in the hand. React hears of changes through one snapshot;
 * panning and carrying go straight to the painter. It decides nothing about plans: edits leave through `onEdit`.
 */

import type { Mode } from "../../../src/core/orders/operation.ts";
import { createMover, type Mover } from "../../../src/core/plan/move.ts";
import type { Plan, PlannedOperation } from "../../../src/core/problem/plan.ts";
import type { Bar } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import {
  type Camera,
  type Extent,
  minuteAtX,
  panned,
  revealing,
  showing,
  snapStep,
  type Viewport,
  withinLimits,
  zoomedAt,
} from "../../board/camera.ts";
import type { BoardChain, ChainWish } from "../../board/chain.ts";
import { newConflicts } from "../../board/conflict-list.ts";
import type { StripChoice } from "../../board/demand.ts";
import { type Ghosts, ghostsOf } from "../../board/ghosts.ts";
import { type Hit, hitTest } from "../../board/hit-test.ts";
import { type Density, laneAtY, laneTops } from "../../board/lanes.ts";
import { canBeLifted, isAtHome, type Lift, type Lifter, lanesOfMode, lifter, modeForLane, realStart } from "../../board/lift.ts";
import { firstBar } from "../../board/neighbours.ts";
import { type BoardSize, boardSize, timeArea } from "../../board/paint/surface.ts";
import { editBetween, type PlanEdit } from "../../board/plan-edit.ts";
import { type Judge, startJudge } from "./judge.ts";

export type BoardOptions = {
  readonly published: boolean;
  readonly links: boolean;
  readonly strip: StripChoice | null;
  readonly density: Density;
};

export type BoardSnapshot = {
  readonly model: BoardModel;
  readonly options: BoardOptions;
  /** Camera at rest, for the scale and the grid. */
  readonly camera: Camera;
  readonly size: BoardSize;
  /** How much larger than usual text is wanted; the whole drawing follows. */
  readonly textScale: number;
  readonly chosenOrder: string | null;
  readonly chosenKey: string | null;
  readonly focusKey: string | null;
  readonly hasFocus: boolean;
  readonly lift: Lift | null;
  /** Pointer while a bar is carried by it, in pixels of the board. */
  readonly pointer: { readonly x: number; readonly y: number } | null;
  readonly hover: { readonly key: string; readonly x: number; readonly y: number } | null;
  readonly mayEdit: boolean;
  /** A plan that is offered, over the one that lies. */
  readonly ghosts: Ghosts | null;
  /** The chain that was asked for, and what came of it; null: none, or not worked out yet. */
  readonly chainWish: ChainWish | null;
  readonly chain: BoardChain | null;
};

/** A stretch of time, and the machine whose row is looked for. */
export type BoardPlace = { readonly from: number; readonly until: number; readonly machine: string | null };

export type Drop = { readonly edit: PlanEdit; readonly lift: Lift; readonly added: number };

export type ControllerEvents = {
  readonly onDrop: (drop: Drop) => void;
  readonly onRefusedLift: (bar: Bar) => void;
  readonly onPutBack: (lift: Lift) => void;
  readonly onLift: (lift: Lift) => void;
};

export type BoardController = ReturnType<typeof createBoardController>;

const OPTIONS_KEY = "plan-board.options";
const REST_MS = 120;
const MINUTE_MS = 60_000;
const DEFAULT_OPTIONS: BoardOptions = { published: true, links: true, strip: { kind: "hands" }, density: "normal" };

export function createBoardController(firstModel: BoardModel, mayEdit: boolean, events: ControllerEvents) {
  let snapshot: BoardSnapshot = {
    model: firstModel,
    options: storedOptions(),
    camera: { left: 0, scale: 1, top: 0 },
    size: boardSize(800, 500, true),
    textScale: 1,
    chosenOrder: null,
    chosenKey: null,
    focusKey: null,
    hasFocus: false,
    lift: null,
    pointer: null,
    hover: null,
    mayEdit,
    ghosts: null,
    chainWish: null,
    chain: null,
  };
  let camera = snapshot.camera;
  let placed = false;
  /** Where the first look should go; null: to now. */
  let firstLook: BoardPlace | null = null;
  let moving = false;
  let restTimer: ReturnType<typeof setTimeout> | undefined;
  let mover: Mover | null = null;
  let judge: Judge | null = null;
  let hand: Lifter | null = null;
  /** What the ghosts show, for when the plan under them changes. */
  let offered: Plan | null = null;
  /** When the problem's `now` was read: the now line goes on by itself until the next reading. */
  let readAt = performance.now();
  const listeners = new Set<() => void>();
  /** Static picture and the layer of the bar in the hand; set by the canvas. */
  let repaint: (what: "all" | "moving") => void = () => {};

  const set = (change: Partial<BoardSnapshot>, paint: "all" | "moving" | "nothing" = "all"): void => {
    snapshot = { ...snapshot, ...change };
    for (const listener of listeners) listener();
    if (paint !== "nothing") repaint(paint);
  };
  const viewport = (): Viewport => timeArea(snapshot.size);
  const tops = (): readonly number[] => laneTops(snapshot.model.lanes, snapshot.options.density);
  const extent = (): Extent => ({
    start: snapshot.model.shop.ground.start,
    end: snapshot.model.shop.problem.horizon,
    height: tops().at(-1) ?? 0,
  });

  /** Moves the view now; React hears of it when it rests. */
  const look = (next: Camera, atRest = false): void => {
    camera = withinLimits(next, viewport(), extent());
    clearTimeout(restTimer);
    if (atRest) {
      moving = false;
      set({ camera });
      return;
    }
    moving = true;
    repaint("all");
    restTimer = setTimeout(() => {
      moving = false;
      set({ camera });
    }, REST_MS);
  };

  const lookAt = ({ from, until, machine }: BoardPlace): void => {
    const lane = machine === null ? undefined : snapshot.model.lanes.ofMachine.get(machine);
    const wanted = showing(from, Math.max(until, from + 60), viewport(), camera.top);
    const all = tops();
    look(
      lane === undefined
        ? wanted
        : revealing(wanted, { start: from, end: from, top: all[lane] ?? 0, bottom: all[lane + 1] ?? 0 }, viewport(), 0),
      true,
    );
  };

  const bar = (key: string | null): Bar | null => (key === null ? null : (snapshot.model.byKey.get(key) ?? null));

  const revealBar = (target: Bar): void => {
    const lane = target.lanes[0] ?? 0;
    const all = tops();
    look(
      revealing(camera, { start: target.start, end: target.end, top: all[lane] ?? 0, bottom: all[lane + 1] ?? 0 }, viewport()),
      true,
    );
  };

  const choose = (target: Bar | null): void => {
    set({ chosenKey: target?.key ?? null, chosenOrder: target?.order.id ?? null, ...(target ? { focusKey: target.key } : {}) });
  };

  // ------------------------------------------------------------------ the bar in the hand
  const theMover = (): Mover => (mover ??= createMover(snapshot.model.shop.problem));
  const theJudge = (): Judge => (judge ??= startJudge());

  const setLift = (lift: Lift, pointer: BoardSnapshot["pointer"]): void => {
    set({ lift, pointer }, "moving");
    if (isAtHome(lift)) return;
    const edit: PlanEdit = { note: "", changes: [{ operation: lift.operation.id, planned: lift.planned }] };
    theJudge().judge(edit, (conflicts) => {
      const now = snapshot.lift;
      if (!now || now.planned !== lift.planned) return;
      set(
        { lift: { ...now, verdict: { conflicts: newConflicts(snapshot.model.check.conflicts, conflicts), wholeShop: true } } },
        "moving",
      );
    });
  };

  const begin = (target: Bar, byKeys: boolean, grab: number): boolean => {
    if (!snapshot.mayEdit || !canBeLifted(target)) {
      events.onRefusedLift(target);
      return false;
    }
    hand = lifter(snapshot.model, theMover(), target, byKeys, grab);
    set({ lift: hand.first, chosenKey: target.key, chosenOrder: target.order.id, focusKey: target.key, hover: null });
    askFits(target, hand.first);
    events.onLift(hand.first);
    return true;
  };

  const askFits = (target: Bar, lift: Lift): void => {
    const asked = theJudge();
    asked.load(snapshot.model.shop.problem, snapshot.model.plan);
    const modes = [target.mode, ...target.operation.modes.filter(({ id }) => id !== target.mode.id)].map(({ id }) => id);
    asked.fits(lift.operation.id, modes, snapshot.model.shop.problem.now, (mode, minute) => {
      const now = snapshot.lift;
      if (now?.operation.id !== lift.operation.id) return;
      set({ lift: { ...now, fits: new Map(now.fits).set(mode, minute) } });
    });
  };

  const carryTo = (mode: Mode, start: number, pointer: BoardSnapshot["pointer"]): void => {
    const lift = snapshot.lift;
    if (!lift || !hand) return;
    if (lift.mode.id === mode.id && lift.start === start) {
      set({ pointer }, "nothing");
      return;
    }
    setLift(hand.carried(lift, mode, Math.max(start, snapshot.model.shop.problem.now)), pointer);
  };

  /** Rounded by the wall clock of its day, so that steps stand on full hours on clock-change days too. */
  const snapped = (minute: number, fine: boolean): number => {
    const step = snapStep(camera, fine);
    const { ticks } = snapshot.model.shop;
    const day = ticks.dayStart(ticks.dayAt(minute));
    return day + Math.round((minute - day) / step) * step;
  };

  const letGo = (): Lift | null => {
    const { lift } = snapshot;
    hand = null;
    judge?.forget();
    set({ lift: null, pointer: null });
    return lift;
  };

  const drop = (): void => {
    const lift = letGo();
    if (!lift || isAtHome(lift)) {
      if (lift) events.onPutBack(lift);
      return;
    }
    events.onDrop({
      lift,
      added: lift.verdict.conflicts.length,
      edit: editBetween(
        { operations: snapshot.model.plan.operations.filter(({ operation }) => operation === lift.operation.id) },
        { operations: [lift.planned] },
        "",
      ),
    });
  };

  return {
    subscribe(listener: () => void): () => void {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    snapshot: (): BoardSnapshot => snapshot,
    camera: (): Camera => camera,
    moving: (): boolean => moving,
    onRepaint(paint: (what: "all" | "moving") => void): void {
      repaint = paint;
    },
    repaint: (): void => repaint("all"),
    /** For the drawing only; work is placed against the problem's own now. */
    now: (): number => snapshot.model.shop.problem.now + Math.floor((performance.now() - readAt) / MINUTE_MS),
    close(): void {
      clearTimeout(restTimer);
      judge?.close();
      judge = null;
    },

    setModel(model: BoardModel): void {
      if (model.shop.problem !== snapshot.model.shop.problem) {
        mover = null;
        readAt = performance.now();
      }
      if (snapshot.lift) letGo();
      const gone = snapshot.chosenKey !== null && !model.byKey.has(snapshot.chosenKey);
      set({
        model,
        ghosts: offered === null ? null : ghostsOf(model, offered),
        ...(gone ? { chosenKey: null } : {}),
        ...(snapshot.focusKey !== null && !model.byKey.has(snapshot.focusKey) ? { focusKey: null } : {}),
      });
    },
    /** Shows where an offered plan would have the work; null: nothing is offered. */
    showGhosts(plan: Plan | null): void {
      offered = plan;
      set({ ghosts: plan === null ? null : ghostsOf(snapshot.model, plan) });
    },
    setMayEdit: (may: boolean): void => set({ mayEdit: may }, "nothing"),
    setOptions(change: Partial<BoardOptions>): void {
      const options = { ...snapshot.options, ...change };
      store(options);
      const { width, height, names } = snapshot.size;
      set({ options, size: boardSize(width, height, options.strip !== null, names) }, "nothing");
      look(camera, true);
    },
    resize(width: number, height: number, names: number, textScale: number): void {
      const size = boardSize(width, height, snapshot.options.strip !== null, names);
      set({ size, textScale }, "nothing");
      if (!placed) {
        // First look: a bit of the past, then the next two days.
        placed = true;
        const { now } = snapshot.model.shop.problem;
        camera = showing(now - 240, now - 240 + 2 * 1440 + 480, viewport());
        if (firstLook) {
          lookAt(firstLook);
          return;
        }
      }
      look(camera, true);
    },
    /** A stretch of time, and a machine in view. Before there is a size it is kept for the first look. */
    lookAt(place: BoardPlace): void {
      if (placed) lookAt(place);
      else firstLook = place;
    },

    // ---------------------------------------------------------------- looking
    pan: (dx: number, dy: number): void => look(panned(camera, dx, dy)),
    zoom: (x: number, factor: number): void => look(zoomedAt(camera, x, factor, viewport())),
    zoomAndPan: (x: number, factor: number, dx: number, dy: number): void =>
      look(zoomedAt(panned(camera, dx, dy), x, factor, viewport())),
    zoomTo(span: number): void {
      const { width } = viewport();
      const nowX = (snapshot.model.shop.problem.now - camera.left) * camera.scale;
      const anchor = nowX > 0 && nowX < width ? nowX : width / 2;
      look(zoomedAt(camera, anchor, width / span / camera.scale, viewport()), true);
    },
    page: (ways: number): void => look({ ...camera, left: camera.left + (ways * viewport().width * 0.9) / camera.scale }, true),
    toNow: (): void =>
      look({ ...camera, left: snapshot.model.shop.problem.now - (viewport().width * 0.18) / camera.scale }, true),
    goTo: (minute: number): void => look({ ...camera, left: minute - 40 / camera.scale }, true),
    showAll(): void {
      const ends = snapshot.model.bars.map(({ end }) => end);
      const { now } = snapshot.model.shop.problem;
      look(showing(now - 720, Math.max(now + 1440, ...ends) + 360, viewport(), 0), true);
    },
    revealBar,
    revealMachine(machine: string): void {
      const lane = snapshot.model.lanes.ofMachine.get(machine);
      if (lane === undefined) return;
      const all = tops();
      const now = snapshot.model.shop.problem.now;
      look(
        revealing(
          camera,
          { start: Math.max(camera.left, now), end: Math.max(camera.left, now), top: all[lane] ?? 0, bottom: all[lane + 1] ?? 0 },
          viewport(),
        ),
        true,
      );
    },

    // ---------------------------------------------------------------- choosing
    bar,
    hit(x: number, y: number): Hit {
      return hitTest(snapshot.model, tops(), camera, x, y);
    },
    choose,
    showChain: (chainWish: ChainWish | null): void => set({ chainWish, chain: null }),
    setChain(chain: BoardChain | null): void {
      if (chain !== snapshot.chain) set({ chain });
    },
    /** The machine of the row at this height of the time area. */
    machineAt(y: number): string | null {
      const entry = snapshot.model.lanes.list[laneAtY(tops(), y + camera.top) ?? -1];
      return entry?.kind === "machine" ? entry.machine.id : null;
    },
    chooseOrder(order: string): void {
      set({ chosenOrder: order, chosenKey: null });
    },
    focus(target: Bar | null): void {
      set({ focusKey: target?.key ?? null });
      if (target) revealBar(target);
    },
    setHasFocus(hasFocus: boolean): void {
      if (hasFocus === snapshot.hasFocus) return;
      const focusKey =
        hasFocus && bar(snapshot.focusKey) === null
          ? (firstBar(snapshot.model, snapshot.model.shop.problem.now)?.key ?? null)
          : snapshot.focusKey;
      set({ hasFocus, focusKey });
    },
    hover(next: BoardSnapshot["hover"]): void {
      if (next?.key !== snapshot.hover?.key) set({ hover: next }, "nothing");
    },

    // ---------------------------------------------------------------- moving
    /** Lifts a bar at a point of the time area. */
    liftAt(target: Bar, x: number): boolean {
      return begin(target, false, minuteAtX(camera, x) - target.start);
    },
    liftByKeys: (target: Bar): boolean => begin(target, true, 0),
    carryAt(x: number, y: number, fine: boolean, pointer: { x: number; y: number }): void {
      const { lift, model } = snapshot;
      if (!lift) return;
      const lane = laneAtY(tops(), y + camera.top);
      const mode = lane === null ? null : modeForLane(model, lift.operation, lift.mode, lane, lift.fits);
      carryTo(mode ?? lift.mode, snapped(minuteAtX(camera, x) - lift.grab, fine), pointer);
    },
    /** By keys: so many steps in time. */
    shift(steps: number): void {
      const { lift } = snapshot;
      if (!lift) return;
      const step = snapStep(camera, false);
      carryTo(lift.mode, snapped(lift.start, false) + steps * step, null);
      revealLifted();
    },
    /** By keys: the next machine above or below that can take it. */
    changeLane(way: 1 | -1): void {
      const { lift, model } = snapshot;
      if (!lift) return;
      const others = [...lift.can]
        .filter((lane) => (way > 0 ? lane > lift.lane : lane < lift.lane))
        .sort((a, b) => way * (a - b));
      for (const lane of others) {
        const mode = modeForLane(model, lift.operation, lift.mode, lane, lift.fits);
        if (!mode || mode.id === lift.mode.id) continue;
        carryTo(mode, lift.start, null);
        revealLifted();
        return;
      }
    },
    takeFirstFit(): boolean {
      const { lift } = snapshot;
      const minute = lift?.fits.get(lift.mode.id);
      if (!lift || minute === undefined || minute === null) return false;
      carryTo(lift.mode, minute, snapshot.pointer);
      revealLifted();
      return true;
    },
    drop,
    putBack(): void {
      const lift = letGo();
      if (lift) events.onPutBack(lift);
    },
    /** Asks the worker for first fits of an operation that nobody holds. */
    fitsFor(operation: string, modes: readonly string[], each: (mode: string, minute: number | null) => void): void {
      const asked = theJudge();
      asked.load(snapshot.model.shop.problem, snapshot.model.plan);
      asked.fits(operation, modes, snapshot.model.shop.problem.now, each);
    },
    placed: (operation: string, mode: string, start: number): PlannedOperation | null =>
      theMover()
        .place(snapshot.model.plan, operation, mode, start)
        .operations.find((each) => each.operation === operation) ?? null,
    lanesOfMode: (mode: Mode): readonly number[] => lanesOfMode(snapshot.model, mode),
  };

  function revealLifted(): void {
    const { lift } = snapshot;
    if (!lift) return;
    const all = tops();
    const start = realStart(lift);
    look(
      revealing(
        camera,
        {
          start,
          end: Math.max(start, lift.bars.at(-1)?.end ?? start),
          top: all[lift.lane] ?? 0,
          bottom: all[lift.lane + 1] ?? 0,
        },
        viewport(),
      ),
      true,
    );
  }
}

function storedOptions(): BoardOptions {
  try {
    return { ...DEFAULT_OPTIONS, ...(JSON.parse(localStorage.getItem(OPTIONS_KEY) ?? "{}") as Partial<BoardOptions>) };
  } catch {
    return DEFAULT_OPTIONS;
  }
}

function store(options: BoardOptions): void {
  try {
    localStorage.setItem(OPTIONS_KEY, JSON.stringify(options));
  } catch {
    // Storage is closed to this page: the choice lasts until it is left.
  }
}
