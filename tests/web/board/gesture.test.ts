/** What a hand does to the board, as states and acts: mouse, touch, two fingers, a bar in the hand. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Act, type GestureEvent, type GestureState, gesture, IDLE } from "../../../web/board/gestures/gesture.ts";

const down = (bar: string | null, touch = false, pointer = 1, x = 100, y = 50): GestureEvent => ({
  kind: "down",
  press: { pointer, touch, x, y, bar },
});
const move = (x: number, y = 50, pointer = 1): GestureEvent => ({ kind: "move", pointer, x, y, fine: false });
const up = (x: number, y = 50, pointer = 1): GestureEvent => ({ kind: "up", pointer, x, y });

function play(events: readonly GestureEvent[]): { state: GestureState; acts: readonly Act[] } {
  let state: GestureState = IDLE;
  const acts: Act[] = [];
  for (const event of events) {
    const step = gesture(state, event);
    state = step.state;
    acts.push(...step.acts);
  }
  return { state, acts };
}
const did = (events: readonly GestureEvent[]) => play(events).acts.map((act) => act.do);

describe("mouse", () => {
  test("a press without movement chooses", () => {
    expect(did([down("a"), move(102), up(102)])).toEqual(["disarmHold", "choose"]);
  });
  test("four pixels lift, movement carries, letting go drops", () => {
    expect(did([down("a"), move(103), move(104), move(150), up(150)])).toEqual(["lift", "carry", "carry", "drop"]);
  });
  test("on empty ground the same movement pans", () => {
    expect(did([down(null), move(110), move(130), up(130)])).toEqual(["disarmHold", "pan", "pan"]);
  });
  test("Esc and a lost pointer put back", () => {
    expect(did([down("a"), move(150), { kind: "escape" }, up(150)])).toEqual(["lift", "carry", "putBack"]);
    expect(did([down("a"), move(150), { kind: "lost", pointer: 1 }])).toEqual(["lift", "carry", "putBack"]);
  });
});

describe("touch", () => {
  test("one finger pans even from a bar", () => {
    expect(did([down("a", true), move(120), up(120)])).toEqual(["armHold", "disarmHold", "pan"]);
  });
  test("a long press lifts", () => {
    expect(did([down("a", true), { kind: "hold" }, move(130), up(130)])).toEqual(["armHold", "lift", "carry", "drop"]);
  });
  test("two fingers zoom about their middle and pan with it; lifting one goes on panning", () => {
    const { state, acts } = play([
      down(null, true, 1, 100),
      down(null, true, 2, 200),
      { kind: "move", pointer: 2, x: 300, y: 50, fine: false },
      up(100, 50, 1),
    ]);
    expect(acts.at(-1)).toEqual({ do: "zoom", factor: 2, x: 200, dx: 50, dy: 0 });
    expect(state).toEqual({ kind: "panning", pointer: 2, x: 300, y: 50 });
  });
  test("a second finger takes the long press away", () => {
    expect(did([down("a", true, 1), down(null, true, 2, 200), { kind: "hold" }])).toEqual(["armHold", "disarmHold"]);
  });
});

test("whatever happens, every lift is ended once: dropped, put back, or still in the hand", () => {
  const pointer = fc.integer({ min: 1, max: 2 });
  const at = fc.integer({ min: 0, max: 300 });
  const events = fc.array(
    fc.oneof(
      fc.record({
        kind: fc.constant("down" as const),
        press: fc.record({ pointer, touch: fc.boolean(), x: at, y: at, bar: fc.constantFrom("a", null) }),
      }),
      fc.record({ kind: fc.constant("move" as const), pointer, x: at, y: at, fine: fc.boolean() }),
      fc.record({ kind: fc.constant("up" as const), pointer, x: at, y: at }),
      fc.record({ kind: fc.constant("lost" as const), pointer }),
      fc.constantFrom({ kind: "hold" as const }, { kind: "escape" as const }),
    ),
    { maxLength: 40 },
  );
  fc.assert(
    fc.property(events, (list) => {
      const { state, acts } = play(list);
      const count = (kind: Act["do"]) => acts.filter((act) => act.do === kind).length;
      expect(count("lift")).toBe(count("drop") + count("putBack") + (state.kind === "lifted" ? 1 : 0));
    }),
  );
});
