/** The families of random shops keep their promise: 15-35 % of the orders late under the best dispatching rule. Larger sizes: tests/bench. */
import { expect, test } from "vitest";
import { generateShop, SHOP_FAMILIES, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { estimate, RULES } from "../../src/core/solve/construct/priority.ts";
import { buildModel } from "../../src/core/solve/decode/build-model.ts";
import { bestRulePlan } from "../../src/core/solve/engine.ts";

test.each((["60", "300"] satisfies ShopSize[]).flatMap((size) => SHOP_FAMILIES[size].map((seed) => ({ size, seed }))))(
  "$size operations, seed $seed",
  ({ size, seed }) => {
    const read = readProblemFile(generateShop(size, seed));
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    const model = buildModel(read.value);
    const { state } = bestRulePlan(model, [], estimate(model), RULES, () => false);
    const late = read.value.orders.filter(({ due }, i) => due !== null && (state.completion[i] ?? 0) > due).length;
    const share = late / read.value.orders.length;
    expect(share).toBeGreaterThanOrEqual(0.15);
    expect(share).toBeLessThanOrEqual(0.35);
  },
);
