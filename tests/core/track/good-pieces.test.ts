/** Good pieces that remain after those reported bad, against a walk of every single way through random routes. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { goodPieces } from "../../../src/core/track/good-pieces.ts";
import { lag, operation } from "../solve/shop.ts";

const reported = (id: string, bad: number, piecesPerUnit = 1) =>
  operation(id, [], {
    piecesPerUnit,
    pieces: 212 * piecesPerUnit,
    progress: { running: [], done: bad === 0 ? [] : [{ mode: "m", pieces: 212 * piecesPerUnit, start: 0, end: 60, scrap: bad }] },
  });
const order = { quantity: 200, scrapPerMille: 56 }; // ceil(200000 / 944) = 212 are started

describe("good pieces left", () => {
  test("what is expected as scrap covers the first ones lost; beyond it the order falls short", () => {
    expect(goodPieces(order, [reported("turn", 0)], [])).toEqual({ started: 212, lost: 0, good: 212, short: 0 });
    expect(goodPieces(order, [reported("turn", 12)], [])).toEqual({ started: 212, lost: 12, good: 200, short: 0 });
    const chain = [reported("turn", 9), reported("grind", 7)];
    expect(goodPieces(order, chain, [lag("turn", "grind")])).toEqual({ started: 212, lost: 16, good: 196, short: 4 });
  });
  test("sound parts of one branch go with sound parts of the other; several parts to a piece spoil it once", () => {
    const tree = [reported("rotor", 9), reported("magnets", 13, 12), reported("join", 5)];
    const links = [lag("rotor", "join"), lag("magnets", "join")];
    expect(goodPieces(order, tree, links)).toEqual({ started: 212, lost: 14, good: 198, short: 2 });
  });
  test("no more is lost than was started", () => {
    const all = [reported("a", 150), reported("b", 150)];
    expect(goodPieces(order, all, [lag("a", "b")])).toEqual({ started: 212, lost: 212, good: 0, short: 200 });
  });

  test("the worst of all ways through a random route decides", () => {
    const route = fc.integer({ min: 1, max: 7 }).chain((n) =>
      fc.record({
        bad: fc.array(fc.integer({ min: 0, max: 20 }), { minLength: n, maxLength: n }),
        linked: fc.array(fc.boolean(), { minLength: n * n, maxLength: n * n }),
      }),
    );
    fc.assert(
      fc.property(route, ({ bad, linked }) => {
        const n = bad.length;
        const follows = (i: number) => Array.from({ length: n }, (_, j) => j).filter((j) => j > i && linked[i * n + j]);
        const ways = (i: number): number[] => {
          const own = bad[i] ?? 0;
          return [own, ...follows(i).flatMap((j) => ways(j).map((rest) => own + rest))];
        };
        const worst = Math.max(...bad.flatMap((_, i) => ways(i)));
        const operations = bad.map((count, i) => reported(`o${i}`, count));
        const links = bad.flatMap((_, i) => follows(i).map((j) => lag(`o${i}`, `o${j}`)));
        expect(goodPieces(order, operations, links).lost).toBe(Math.min(212, worst));
      }),
    );
  });
});
