/**
 * Whatever a search over lists does to a list, it names every unit once and keeps the order of those links that the first list kept
 * (a pinned operation is committed first, whatever it follows). Small shops at random, links read from the problem itself.
 */
import { expect, test } from "vitest";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { decodeOrder, dispatch } from "../../../src/core/solve/construct/dispatch.ts";
import { estimate } from "../../../src/core/solve/construct/priority.ts";
import { buildModel } from "../../../src/core/solve/decode/build-model.ts";
import { PLAIN } from "../../../src/core/solve/decode/place-operation.ts";
import { givenState } from "../../../src/core/solve/engine.ts";
import { ListSearch } from "../../../src/core/solve/improve/list-search.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";

test("lists stay complete and keep the order of links", () => {
  let changed = 0;
  for (let seed = 1; seed <= 40; seed++) {
    const problem = tinyProblem(seed);
    const model = buildModel(problem);
    const first = dispatch(givenState(model, []), estimate(model), { kind: "edd" }, PLAIN, () => false);
    const firstPlace = new Map([...first].map((unit, at) => [unit, at]));
    const search = new ListSearch(model, createRandom(seed), first);
    const unitOf = (id: string): number => {
      const op = model.ops[model.opOfId.get(id) ?? -1];
      return op === undefined ? -1 : (op.block[0] ?? op.index);
    };
    for (let step = 0; step < 30; step++) {
      search.step((list) => {
        const place = new Map([...list].map((unit, at) => [unit, at]));
        expect({ seed, units: [...place.keys()].sort() }).toEqual({ seed, units: [...first].sort() });
        for (const link of problem.links) {
          const from = place.get(unitOf(link.from));
          const to = place.get(unitOf(link.to));
          const kept = (firstPlace.get(unitOf(link.from)) ?? 0) < (firstPlace.get(unitOf(link.to)) ?? 0);
          if (link.kind !== "sameMachine" && from !== undefined && to !== undefined && from !== to && kept)
            expect({ seed, link, inOrder: from < to }).toEqual({ seed, link, inOrder: true });
        }
        if (list.some((unit, at) => unit !== first[at])) changed++;
        const state = givenState(model, []);
        decodeOrder(state, list, PLAIN);
        return state;
      }, 100);
    }
  }
  expect(changed).toBeGreaterThan(400);
});
