/**
 * An operation of the usual kind finds its place by a way of its own. The oracle is the general way, which knows nothing of it: at every
 * step of a decode both are asked, with gaps passed over by the same draws, and must answer alike to the minute and to the crew.
 */
import { expect, test } from "vitest";
import { generateShop } from "../../../seed/shop-generator.ts";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { dispatch } from "../../../src/core/solve/construct/dispatch.ts";
import { estimate } from "../../../src/core/solve/construct/priority.ts";
import { buildModel } from "../../../src/core/solve/decode/build-model.ts";
import { leanPlace } from "../../../src/core/solve/decode/lean-place.ts";
import { FAR, NONE } from "../../../src/core/solve/decode/model.ts";
import { bestPlace, type Choosing, PLAIN, placeBlock, placeOperation } from "../../../src/core/solve/decode/place-operation.ts";
import type { Placement } from "../../../src/core/solve/decode/placement.ts";
import { removeSettled } from "../../../src/core/solve/decode/settle.ts";
import { givenState } from "../../../src/core/solve/engine.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";

/** What a place is, without what it refers to. */
const facts = (p: Placement | null) =>
  p && {
    ...p,
    mode: p.mode.index,
    phases: p.phases.map(({ phase, choice, stretches }) => [phase.index, choice.index, choice.crews, stretches]),
  };

/** Lays the shop once, some of it taken off again and laid anew, and asks both ways each time; how often that was. */
function compareAll(problem: Problem, seed: number): number {
  const model = buildModel(problem);
  const state = givenState(model, []);
  const order = dispatch(givenState(model, []), estimate(model), { kind: "edd" }, PLAIN, () => false);
  const random = createRandom(seed);
  const bank: number[] = [];
  let asked = 0;
  const lay = (index: number): void => {
    const op = model.ops[index]!;
    const row = model.lean.rowOf[index]!;
    const item = op.items[0];
    if (row !== NONE && item !== undefined && state.placed[item] === null && state.pieces[item]! > 0) {
      const salt = random.int(1 << 30);
      const only = random.int(3) === 0 ? op.modes[random.int(op.modes.length)]!.index : NONE;
      const from = random.int(3) === 0 ? model.now + random.int(60) : -FAR;
      const wayOf = (): Choosing => {
        const draws = createRandom(salt);
        return {
          ...PLAIN,
          setupBias: salt % 2 === 0 ? 1 : 3,
          skip: salt % 3 === 0 ? () => draws.next() < 0.3 : null,
          noise: salt % 5 === 0 ? () => draws.int(20) : null,
          modeOf: only === NONE ? null : () => only,
        };
      };
      const offered = only === NONE || model.ops[index]!.modes.some((mode) => mode.index === only && !mode.impossible);
      const general = facts(bestPlace(state, item, from, wayOf()));
      const lean = facts(leanPlace(state, row, index, from, wayOf(), offered ? only : NONE));
      expect({ seed, op: op.id, place: lean }).toEqual({ seed, op: op.id, place: general });
      asked++;
    }
    if (op.block.length > 0) placeBlock(state, op.block, PLAIN, bank);
    else placeOperation(state, op, -FAR, PLAIN, bank);
  };
  for (const op of order) lay(op);
  for (let i = 0; i < order.length; i++) {
    const again = order[random.int(order.length)]!;
    for (const item of model.ops[again]!.items) {
      const placed = state.placed[item];
      if (placed && !placed.fixed) removeSettled(state, placed, bank);
    }
    lay(again);
  }
  return asked;
}

test("the short way to a place gives what the general way gives", () => {
  let asked = 0;
  for (let seed = 1; seed <= 200; seed++) asked += compareAll(tinyProblem(seed, { operations: 9, horizon: 240 }), seed);
  expect(asked).toBeGreaterThan(200);
});

test("also in a shop of several weeks", () => {
  const read = readProblemFile(generateShop("60", 3));
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  expect(compareAll(read.value, 7)).toBeGreaterThanOrEqual(100);
});
