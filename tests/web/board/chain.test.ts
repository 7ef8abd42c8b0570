/** Chains on the board: every step of the core's chain is the bar it speaks of, numbered from the end; slack speaks of the same bars. */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { criticalChain } from "../../../src/core/explain/critical-chain.ts";
import { whyLate } from "../../../src/core/explain/why-late.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { boardModel, shopModel } from "../../../web/board/board-model.ts";
import { chainOf } from "../../../web/board/chain.ts";
import { siteTime } from "../../../web/present/site-time.ts";
import { shopInProgress } from "../../arbitraries/shop-in-progress.ts";

test("in shops in the middle of their plan, with done and running lots before the planned ones", () => {
  let [steps, late, shifted] = [0, 0, 0];
  for (let seed = 1; seed <= 40; seed++) {
    const { problem } = shopInProgress(seed);
    const { plan } = makePlan(problem, { seed, iterations: 40 });
    const model = boardModel(shopModel(problem, siteTime(problem.zone, problem.origin, problem.now)), plan, check(problem, plan));
    const whole = chainOf(model, { kind: "plan" });
    const { chain, slacks } = criticalChain(problem, plan);
    expect(whole.bars.map(({ operation }) => operation)).toEqual(chain.map(({ operation }) => operation).reverse());
    expect(whole.slack.size).toBe(slacks.length);
    for (const { key, operation, start, end } of whole.bars) {
      const bar = model.byKey.get(key);
      expect(bar?.operation.id, `seed ${seed} ${key}`).toBe(operation);
      // The chain counts running work from now on; its bar shows it whole.
      if (bar?.state === "planned") expect([bar.start, bar.end], `seed ${seed} ${key}`).toEqual([start, end]);
      if ((bar?.operation.progress.done.length ?? 0) > 0) shifted += 1;
      steps += 1;
    }
    for (const order of problem.orders) {
      const why = whyLate(problem, plan, order.id);
      if (why === null) continue;
      const drawn = chainOf(model, { kind: "order", order: order.id });
      expect(drawn.bars.map(({ sentence }) => sentence)).toEqual(why.steps.map(({ sentence }) => sentence));
      expect(drawn.bars.map(({ key }) => drawn.number.get(key))).toEqual(why.steps.map((_, i) => i + 1));
      for (const { key } of drawn.bars) expect(model.byKey.has(key), `seed ${seed} ${key}`).toBe(true);
      late += 1;
    }
  }
  expect(steps).toBeGreaterThan(40);
  expect(late).toBeGreaterThan(2);
  expect(shifted).toBeGreaterThan(0);
});
