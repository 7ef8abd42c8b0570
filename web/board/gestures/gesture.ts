/**
 * One machine for mouse, pen and touch: what the hand does, as states; what the board should do about it, as acts. Pure.
 * Mouse and pen: press, four pixels, lift; empty ground pans. Touch: one finger pans, a long press lifts, two fingers zoom and pan.
 * A bar in the hand survives until it is dropped or put back; Esc and a lost pointer put it back.
 */

export const LIFT_PIXELS = 4;
export const HOLD_MS = 350;

export type Press = {
  readonly pointer: number;
  readonly touch: boolean;
  readonly x: number;
  readonly y: number /** Key of a bar that may be lifted. */;
  readonly bar: string | null;
};

export type GestureState =
  | { readonly kind: "idle" }
  | { readonly kind: "pressed"; readonly press: Press }
  | { readonly kind: "panning"; readonly pointer: number; readonly x: number; readonly y: number }
  | { readonly kind: "lifted"; readonly pointer: number; readonly bar: string }
  | { readonly kind: "pinching"; readonly a: Finger; readonly b: Finger };

export type Finger = { readonly pointer: number; readonly x: number; readonly y: number };

export type GestureEvent =
  | { readonly kind: "down"; readonly press: Press }
  | { readonly kind: "move"; readonly pointer: number; readonly x: number; readonly y: number; readonly fine: boolean }
  | { readonly kind: "up"; readonly pointer: number; readonly x: number; readonly y: number }
  | { readonly kind: "hold" }
  | { readonly kind: "lost"; readonly pointer: number }
  | { readonly kind: "escape" };

export type Act =
  | { readonly do: "choose"; readonly bar: string | null; readonly x: number; readonly y: number }
  | { readonly do: "pan"; readonly dx: number; readonly dy: number }
  | { readonly do: "zoom"; readonly factor: number; readonly x: number; readonly dx: number; readonly dy: number }
  | { readonly do: "lift"; readonly bar: string; readonly x: number; readonly y: number }
  | { readonly do: "carry"; readonly x: number; readonly y: number; readonly fine: boolean }
  | { readonly do: "drop"; readonly x: number; readonly y: number }
  | { readonly do: "putBack" }
  | { readonly do: "armHold" }
  | { readonly do: "disarmHold" };

export type Step = { readonly state: GestureState; readonly acts: readonly Act[] };

export const IDLE: GestureState = { kind: "idle" };
const stay = (state: GestureState): Step => ({ state, acts: [] });

export function gesture(state: GestureState, event: GestureEvent): Step {
  switch (state.kind) {
    case "idle":
      if (event.kind !== "down") return stay(state);
      return {
        state: { kind: "pressed", press: event.press },
        acts: event.press.touch && event.press.bar !== null ? [{ do: "armHold" }] : [],
      };
    case "pressed":
      return fromPressed(state.press, event);
    case "panning":
      return fromPanning(state, event);
    case "lifted":
      return fromLifted(state, event);
    case "pinching":
      return fromPinching(state, event);
  }
}

function fromPressed(press: Press, event: GestureEvent): Step {
  switch (event.kind) {
    case "down":
      if (!press.touch || !event.press.touch) return stay({ kind: "pressed", press });
      return { state: { kind: "pinching", a: press, b: event.press }, acts: [{ do: "disarmHold" }] };
    case "move": {
      if (event.pointer !== press.pointer) return stay({ kind: "pressed", press });
      const dx = event.x - press.x;
      const dy = event.y - press.y;
      if (Math.hypot(dx, dy) < LIFT_PIXELS * (press.touch ? 2 : 1)) return stay({ kind: "pressed", press });
      if (press.bar !== null && !press.touch) {
        return {
          state: { kind: "lifted", pointer: press.pointer, bar: press.bar },
          acts: [
            { do: "lift", bar: press.bar, x: press.x, y: press.y },
            { do: "carry", x: event.x, y: event.y, fine: event.fine },
          ],
        };
      }
      return {
        state: { kind: "panning", pointer: press.pointer, x: event.x, y: event.y },
        acts: [{ do: "disarmHold" }, { do: "pan", dx, dy }],
      };
    }
    case "hold":
      if (!press.touch || press.bar === null) return stay({ kind: "pressed", press });
      return {
        state: { kind: "lifted", pointer: press.pointer, bar: press.bar },
        acts: [{ do: "lift", bar: press.bar, x: press.x, y: press.y }],
      };
    case "up":
      if (event.pointer !== press.pointer) return stay({ kind: "pressed", press });
      return { state: IDLE, acts: [{ do: "disarmHold" }, { do: "choose", bar: press.bar, x: event.x, y: event.y }] };
    case "lost":
    case "escape":
      return { state: IDLE, acts: [{ do: "disarmHold" }] };
  }
}

function fromPanning(state: Extract<GestureState, { kind: "panning" }>, event: GestureEvent): Step {
  switch (event.kind) {
    case "down":
      if (!event.press.touch) return stay(state);
      return { state: { kind: "pinching", a: state, b: event.press }, acts: [] };
    case "move":
      if (event.pointer !== state.pointer) return stay(state);
      return { state: { ...state, x: event.x, y: event.y }, acts: [{ do: "pan", dx: event.x - state.x, dy: event.y - state.y }] };
    case "up":
    case "lost":
      return event.pointer === state.pointer ? stay(IDLE) : stay(state);
    case "hold":
    case "escape":
      return stay(state);
  }
}

function fromLifted(state: Extract<GestureState, { kind: "lifted" }>, event: GestureEvent): Step {
  switch (event.kind) {
    case "move":
      return event.pointer === state.pointer
        ? { state, acts: [{ do: "carry", x: event.x, y: event.y, fine: event.fine }] }
        : stay(state);
    case "up":
      return event.pointer === state.pointer ? { state: IDLE, acts: [{ do: "drop", x: event.x, y: event.y }] } : stay(state);
    case "lost":
      return event.pointer === state.pointer ? { state: IDLE, acts: [{ do: "putBack" }] } : stay(state);
    case "escape":
      return { state: IDLE, acts: [{ do: "putBack" }] };
    case "down":
    case "hold":
      return stay(state);
  }
}

function fromPinching(state: Extract<GestureState, { kind: "pinching" }>, event: GestureEvent): Step {
  switch (event.kind) {
    case "move": {
      const isA = event.pointer === state.a.pointer;
      if (!isA && event.pointer !== state.b.pointer) return stay(state);
      const moved: Finger = { pointer: event.pointer, x: event.x, y: event.y };
      const a = isA ? moved : state.a;
      const b = isA ? state.b : moved;
      const before = Math.max(8, Math.abs(state.a.x - state.b.x));
      const after = Math.max(8, Math.abs(a.x - b.x));
      const middle = (finger: Finger, other: Finger): { x: number; y: number } => ({
        x: (finger.x + other.x) / 2,
        y: (finger.y + other.y) / 2,
      });
      const was = middle(state.a, state.b);
      const is = middle(a, b);
      return {
        state: { kind: "pinching", a, b },
        acts: [{ do: "zoom", factor: after / before, x: is.x, dx: is.x - was.x, dy: is.y - was.y }],
      };
    }
    case "up":
    case "lost": {
      if (event.pointer !== state.a.pointer && event.pointer !== state.b.pointer) return stay(state);
      const rest = event.pointer === state.a.pointer ? state.b : state.a;
      return stay({ kind: "panning", pointer: rest.pointer, x: rest.x, y: rest.y });
    }
    case "down":
    case "hold":
    case "escape":
      return stay(state);
  }
}
