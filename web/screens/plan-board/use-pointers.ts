/** Pointer, wheel and the keys of a bar in the hand: wires the gesture machine to the element of the drawing. */
import { useEffect, useRef } from "react";
import { type Act, type GestureEvent, type GestureState, gesture, HOLD_MS, IDLE } from "../../board/gestures/gesture.ts";
import { canBeLifted } from "../../board/lift.ts";
import type { BoardController } from "./board-controller.ts";

const WHEEL_ZOOM = 0.0022;
const LINE_PIXELS = 16;
/** Within this distance of an edge a carried bar drags the view along. */
const EDGE = 36;

/** Wires the gesture machine to the element. */
export function usePointers(
  frame: React.RefObject<HTMLDivElement | null>,
  controller: BoardController,
  takeFocus: () => void,
  onMachine: ((machine: string) => void) | undefined,
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
