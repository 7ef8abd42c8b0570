/**
 * The drawing itself: two canvases (resting picture, bar in the hand), pointer and wheel, and the slip at the pointer. Hidden from
 * assistive technology; the focus grid beside it says the same. Draws at 1x while the view moves and sharp when it rests.
 */
import { useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import { type Act, type GestureEvent, type GestureState, gesture, HOLD_MS, IDLE } from "../../board/gestures/gesture.ts";
import { laneTops } from "../../board/lanes.ts";
import { canBeLifted, isAtHome } from "../../board/lift.ts";
import { paintBoard } from "../../board/paint/board-painter.ts";
import { FACE_FONTS, type Labels, makeLabels } from "../../board/paint/labels.ts";
import { paintMoving } from "../../board/paint/moving-layer.ts";
import { forcedPalette, type Palette, themePalette } from "../../board/paint/palette.ts";
import { makePatterns, type Patterns } from "../../board/paint/patterns.ts";
import type { BoardView, Surface } from "../../board/paint/surface.ts";
import { useTheme } from "../../shell/theme.ts";
import { BOARD } from "../../tokens/tokens.ts";
import { liftView, slipOf } from "./answers.ts";
import type { BoardController } from "./board-controller.ts";
import { cellName } from "./describe.ts";
import { paintWords, stripProfile } from "./paint-words.ts";
import { useBoard } from "./use-board.ts";

const WHEEL_ZOOM = 0.0022;
const LINE_PIXELS = 16;
/** Narrow screens give less room to names. */
const NARROW = 760;
const NAMES_NARROW = 118;
/** Within this distance of an edge a carried bar drags the view along. */
const EDGE = 36;
const DENSITY_MAX = 3;
/** The usual size of text at the root; where people want it larger, the drawing grows with it. */
const ROOT_PIXELS = 16;
const MINUTE_MS = 60_000;

const forcedColours = window.matchMedia("(forced-colors: active)");
const subscribeForced = (listener: () => void): (() => void) => {
  forcedColours.addEventListener("change", listener);
  return () => forcedColours.removeEventListener("change", listener);
};

export function usePalette(): Palette {
  const theme = useTheme();
  const forced = useSyncExternalStore(subscribeForced, () => forcedColours.matches);
  return useMemo(() => (forced ? systemPalette() : themePalette(theme)), [theme, forced]);
}

/** The system's colours as this page sees them. */
function systemPalette(): Palette {
  const probe = document.createElement("span");
  probe.style.forcedColorAdjust = "none";
  document.body.append(probe);
  const palette = forcedPalette((name) => {
    probe.style.color = name;
    return getComputedStyle(probe).color;
  });
  probe.remove();
  return palette;
}

/** Patterns and labels per density; both are dear to make. */
function useTools(palette: Palette): (ctx: CanvasRenderingContext2D, density: number) => Surface {
  return useMemo(() => {
    const kept = new Map<number, { patterns: Patterns; labels: Labels }>();
    return (ctx, density) => {
      let tools = kept.get(density);
      if (!tools) {
        tools = { patterns: makePatterns(ctx, palette, density), labels: makeLabels(density) };
        kept.set(density, tools);
      }
      return { ctx, density, palette, ...tools };
    };
  }, [palette]);
}

type BoardCanvasProps = {
  readonly controller: BoardController;
  readonly takeFocus: () => void;
  /** The name of a machine was clicked; left out: nothing comes of it. */
  readonly onMachine?: ((machine: string) => void) | undefined;
};

export function BoardCanvas({ controller, takeFocus, onMachine }: BoardCanvasProps) {
  const frame = useRef<HTMLDivElement>(null);
  const still = useRef<HTMLCanvasElement>(null);
  const hand = useRef<HTMLCanvasElement>(null);
  const palette = usePalette();
  const tools = useTools(palette);
  const model = useBoard(controller, "model");
  const options = useBoard(controller, "options");
  const lift = useBoard(controller, "lift");
  const strip = useMemo(() => (options.strip ? stripProfile(model, options.strip) : null), [model, options.strip]);
  const say = useMemo(() => paintWords(model.shop.time), [model.shop.time]);
  // The resting picture changes only with the answers and the row under the hand, not at every step.
  const refused = lift !== null && lift.verdict.conflicts.length > 0;
  const held = lift ? `${lift.key}|${lift.lane}|${refused}|${[...lift.fits].join()}` : "";
  // biome-ignore lint/correctness/useExhaustiveDependencies: `held` stands for all of the lift that the resting picture shows
  const lifted = useMemo(() => (lift ? liftView(model, lift) : null), [model, held]);
  const [fonts, setFonts] = useState(false);

  useEffect(() => {
    let gone = false;
    void Promise.allSettled(FACE_FONTS.map((font) => document.fonts.load(font))).then(() => {
      if (!gone) setFonts(true);
    });
    return () => {
      gone = true;
    };
  }, []);

  // The size of the drawing follows its frame.
  useEffect(() => {
    const element = frame.current;
    if (!element) return;
    const measure = (): void => {
      const { width, height } = element.getBoundingClientRect();
      const textScale = Math.max(0.5, Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / ROOT_PIXELS);
      const drawn = width / textScale;
      if (width > 0 && height > 0)
        controller.resize(drawn, height / textScale, drawn < NARROW ? NAMES_NARROW : BOARD.names, textScale);
    };
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    measure();
    return () => observer.disconnect();
  }, [controller]);

  // Painting: at most once a frame.
  useEffect(() => {
    if (!fonts) return;
    let asked = 0;
    let all = true;
    const view = (): BoardView => {
      const now = controller.snapshot();
      return {
        camera: controller.camera(),
        size: now.size,
        density: now.options.density,
        chosenOrder: now.chosenOrder,
        focusKey: now.hasFocus ? now.focusKey : now.chosenKey,
        showPublished: now.options.published,
        showLinks: now.options.links,
        strip,
        lift: lifted,
        ghosts: now.ghosts,
        chain: now.chain,
        words: say,
        now: controller.now(),
      };
    };
    const fit = (canvas: HTMLCanvasElement, density: number): CanvasRenderingContext2D | null => {
      const { size } = controller.snapshot();
      const width = Math.round(size.width * density);
      const height = Math.round(size.height * density);
      if (canvas.width !== width || canvas.height !== height) {
        canvas.width = width;
        canvas.height = height;
      }
      return canvas.getContext("2d", { alpha: canvas === hand.current });
    };
    const paint = (): void => {
      asked = 0;
      const snapshot = controller.snapshot();
      const sharp = Math.min(DENSITY_MAX, (window.devicePixelRatio || 1) * snapshot.textScale);
      const shown = view();
      if (all && still.current) {
        const density = controller.moving() ? Math.min(snapshot.textScale, sharp) : sharp;
        const ctx = fit(still.current, density);
        if (ctx) paintBoard(tools(ctx, density), snapshot.model, shown);
      }
      if (hand.current) {
        const ctx = fit(hand.current, sharp);
        if (ctx) {
          const now = snapshot.lift;
          paintMoving(
            tools(ctx, sharp),
            snapshot.model,
            shown,
            now ? { bars: now.bars, old: isAtHome(now) ? [] : now.old, refused: now.verdict.conflicts.length > 0 } : null,
          );
        }
      }
      all = false;
    };
    const ask = (what: "all" | "moving"): void => {
      if (what === "all") all = true;
      if (asked === 0) asked = requestAnimationFrame(paint);
    };
    controller.onRepaint(ask);
    ask("all");
    const ticking = setInterval(() => ask("all"), MINUTE_MS);
    return () => {
      clearInterval(ticking);
      cancelAnimationFrame(asked);
      controller.onRepaint(() => {});
    };
  }, [controller, fonts, tools, strip, say, lifted]);

  usePointers(frame, controller, takeFocus, onMachine);
  return (
    <div className="board-drawing" ref={frame}>
      <div aria-hidden="true">
        <canvas ref={still} />
        <canvas ref={hand} />
      </div>
      <SlipAtPointer controller={controller} />
      <HoverNote controller={controller} />
    </div>
  );
}

/** Wires the gesture machine to the element. */
function usePointers(
  frame: React.RefObject<HTMLDivElement | null>,
  controller: BoardController,
  takeFocus: () => void,
  onMachine: BoardCanvasProps["onMachine"],
): void {
  const named = useRef(onMachine);
  named.current = onMachine;
  useEffect(() => {
    const element = frame.current;
    if (!element) return;
    let state: GestureState = IDLE;
    let hold: ReturnType<typeof setTimeout> | undefined;
    let edge = 0;
    let last = { x: 0, y: 0, fine: false };

    /** From the page to the time area. */
    const local = (event: {
      readonly clientX: number;
      readonly clientY: number;
    }): { x: number; y: number; boardX: number; boardY: number } => {
      const box = element.getBoundingClientRect();
      const { size, textScale } = controller.snapshot();
      const boardX = (event.clientX - box.left) / textScale;
      const boardY = (event.clientY - box.top) / textScale;
      return { boardX, boardY, x: boardX - size.names, y: boardY - size.axis };
    };
    const carry = (): void => {
      const { size } = controller.snapshot();
      controller.carryAt(last.x, last.y, last.fine, { x: last.x + size.names, y: last.y + size.axis });
    };
    const nearEdge = (): { dx: number; dy: number } => {
      const { size } = controller.snapshot();
      const width = size.width - size.names;
      const height = size.height - size.axis - size.strip;
      const push = (at: number, room: number): number =>
        at < EDGE ? Math.min(14, (EDGE - at) / 3) : at > room - EDGE ? -Math.min(14, (at - room + EDGE) / 3) : 0;
      return { dx: push(last.x, width), dy: push(last.y, height) };
    };
    const edgeStep = (): void => {
      edge = 0;
      if (state.kind !== "lifted") return;
      const { dx, dy } = nearEdge();
      if (dx === 0 && dy === 0) return;
      controller.pan(dx, dy);
      carry();
      edge = requestAnimationFrame(edgeStep);
    };
    const perform = (act: Act): void => {
      switch (act.do) {
        case "armHold":
          hold = setTimeout(() => feed({ kind: "hold" }), HOLD_MS);
          return;
        case "disarmHold":
          clearTimeout(hold);
          return;
        case "pan":
          controller.pan(act.dx, act.dy);
          return;
        case "zoom":
          controller.zoomAndPan(act.x, act.factor, act.dx, act.dy);
          return;
        case "choose": {
          const bar = controller.bar(act.bar);
          if (bar) controller.choose(bar);
          else controller.choose(null);
          return;
        }
        case "lift": {
          const bar = controller.bar(act.bar);
          if (!bar || !controller.liftAt(bar, act.x)) state = IDLE;
          return;
        }
        case "carry":
          last = { x: act.x, y: act.y, fine: act.fine };
          carry();
          if (edge === 0) edge = requestAnimationFrame(edgeStep);
          return;
        case "drop":
          controller.drop();
          return;
        case "putBack":
          controller.putBack();
      }
    };
    const feed = (event: GestureEvent): void => {
      const step = gesture(state, event);
      state = step.state;
      for (const act of step.acts) perform(act);
    };

    const onDown = (event: PointerEvent): void => {
      if (event.button !== 0 && event.pointerType === "mouse") return;
      const at = local(event);
      controller.hover(null);
      takeFocus();
      if (event.pointerType === "mouse") event.preventDefault();
      if (at.x < 0 || at.y < 0) return;
      element.setPointerCapture(event.pointerId);
      const { bar } = controller.hit(at.x, at.y);
      feed({
        kind: "down",
        press: { pointer: event.pointerId, touch: event.pointerType === "touch", x: at.x, y: at.y, bar: bar?.key ?? null },
      });
    };
    const onMove = (event: PointerEvent): void => {
      const at = local(event);
      if (state.kind === "idle") {
        const hit = at.x < 0 || at.y < 0 ? null : controller.hit(at.x, at.y);
        if (machineAt(at) !== null) {
          element.style.cursor = "pointer";
          controller.hover(null);
          return;
        }
        element.style.cursor = hit?.bar
          ? canBeLifted(hit.bar) && controller.snapshot().mayEdit
            ? "grab"
            : "pointer"
          : "default";
        if (event.pointerType === "mouse") controller.hover(hit?.bar ? { key: hit.bar.key, x: at.boardX, y: at.boardY } : null);
        return;
      }
      element.style.cursor = state.kind === "lifted" || state.kind === "panning" ? "grabbing" : "default";
      feed({ kind: "move", pointer: event.pointerId, x: at.x, y: at.y, fine: event.altKey });
    };
    const onUp = (event: PointerEvent): void => {
      const at = local(event);
      feed({ kind: "up", pointer: event.pointerId, x: at.x, y: at.y });
    };
    /** The names column: its machine, if something comes of a click. */
    const machineAt = (at: { readonly x: number; readonly y: number }): string | null =>
      named.current && at.x < 0 && at.y >= 0 ? controller.machineAt(at.y) : null;
    const onClick = (event: MouseEvent): void => {
      const machine = machineAt(local(event));
      if (machine !== null) named.current?.(machine);
    };
    const onLost = (event: PointerEvent): void => feed({ kind: "lost", pointer: event.pointerId });
    const onLeave = (): void => controller.hover(null);
    const onKey = (event: KeyboardEvent): void => {
      if (state.kind !== "lifted") return;
      if (event.key === "Escape") {
        event.preventDefault();
        event.stopPropagation();
        feed({ kind: "escape" });
      } else if (event.key === "f" || event.key === "F") {
        event.preventDefault();
        event.stopPropagation();
        if (controller.takeFirstFit()) {
          state = IDLE;
          controller.drop();
        }
      }
    };
    const onWheel = (event: WheelEvent): void => {
      event.preventDefault();
      const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PIXELS : 1;
      const dx = event.deltaX * unit;
      const dy = event.deltaY * unit;
      const at = local(event);
      if (event.ctrlKey || event.metaKey)
        controller.zoom(Math.max(0, at.x), Math.exp(-dy * WHEEL_ZOOM * (event.deltaMode === 0 && Math.abs(dy) < 30 ? 4 : 1)));
      else if (event.shiftKey) controller.pan(-(dx + dy), 0);
      else controller.pan(-dx, -dy);
    };
    element.addEventListener("click", onClick);
    element.addEventListener("pointerdown", onDown);
    element.addEventListener("pointermove", onMove);
    element.addEventListener("pointerup", onUp);
    element.addEventListener("pointercancel", onLost);
    element.addEventListener("pointerleave", onLeave);
    element.addEventListener("wheel", onWheel, { passive: false });
    window.addEventListener("keydown", onKey, true);
    return () => {
      clearTimeout(hold);
      cancelAnimationFrame(edge);
      element.removeEventListener("click", onClick);
      element.removeEventListener("pointerdown", onDown);
      element.removeEventListener("pointermove", onMove);
      element.removeEventListener("pointerup", onUp);
      element.removeEventListener("pointercancel", onLost);
      element.removeEventListener("pointerleave", onLeave);
      element.removeEventListener("wheel", onWheel);
      window.removeEventListener("keydown", onKey, true);
    };
  }, [frame, controller, takeFocus]);
}

/** Verdict, reason and first fit, beside the pointer or the bar. */
function SlipAtPointer({ controller }: { readonly controller: BoardController }) {
  const lift = useBoard(controller, "lift");
  const pointer = useBoard(controller, "pointer");
  const textScale = useBoard(controller, "textScale");
  const model = useBoard(controller, "model");
  const size = useBoard(controller, "size");
  const options = useBoard(controller, "options");
  if (!lift) return null;
  const slip = slipOf(model, lift);
  const camera = controller.camera();
  const row = laneTops(model.lanes, options.density)[lift.lane] ?? 0;
  const at = pointer ?? { x: size.names + (lift.start - camera.left) * camera.scale, y: size.axis + row - camera.top };
  const left = Math.max(8, Math.min(at.x * textScale + 18, size.width * textScale - 348));
  const below = at.y < 190;
  return (
    <div
      className="board-slip"
      data-refused={slip.refused || undefined}
      data-checking={slip.checking || undefined}
      aria-hidden="true"
      style={{ left, ...(below ? { top: at.y * textScale + 42 } : { bottom: (size.height - at.y) * textScale + 34 }) }}
    >
      <strong>{slip.title}</strong>
      {slip.lines.map((line) => (
        <span key={line}>{line}</span>
      ))}
    </div>
  );
}

/** Bars too small for their words say them on hover; so does every other. */
function HoverNote({ controller }: { readonly controller: BoardController }) {
  const hover = useBoard(controller, "hover");
  const textScale = useBoard(controller, "textScale");
  const model = useBoard(controller, "model");
  const lift = useBoard(controller, "lift");
  const size = useBoard(controller, "size");
  const bar = hover ? model.byKey.get(hover.key) : undefined;
  if (!hover || !bar || lift) return null;
  const left = Math.max(8, Math.min(hover.x * textScale + 14, size.width * textScale - 330));
  const below = hover.y < size.height - 150;
  return (
    <div
      className="board-note"
      aria-hidden="true"
      style={{ left, ...(below ? { top: hover.y * textScale + 20 } : { bottom: (size.height - hover.y) * textScale + 14 }) }}
    >
      <strong>{bar.title}</strong>
      <span>{cellName(model, bar).replace(`${bar.number} ${bar.order.name}. `, "")}</span>
      {bar.operation.name !== bar.order.name ? <span className="quiet">{bar.operation.name}</span> : null}
    </div>
  );
}
