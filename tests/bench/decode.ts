/**
 * One decode of everything: how long it takes to lay all operations of a generated shop in the order of the best dispatching rule,
 * every mode tried and gaps filled, from the empty plan on. Prints least, median and 95th percentile in milliseconds of the wall clock
 * (garbage collection of the process included) and a hash of the plan, so that a quicker decode is seen to give the same one.
 * Usage: npx tsx tests/bench/decode.ts [--sizes 300,1500] [--instances 3] [--times 150]
 */
import { createHash } from "node:crypto";
import { parseArgs } from "node:util";
import { generateShop, SHOP_FAMILIES, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { decodeOrder } from "../../src/core/solve/construct/dispatch.ts";
import { estimate, RULES } from "../../src/core/solve/construct/priority.ts";
import { buildModel } from "../../src/core/solve/decode/build-model.ts";
import { writePlan } from "../../src/core/solve/decode/write-plan.ts";
import { bestRulePlan, givenState } from "../../src/core/solve/engine.ts";

const { values } = parseArgs({
  options: {
    sizes: { type: "string", default: "300,1500" },
    instances: { type: "string", default: "3" },
    times: { type: "string", default: "150" },
  },
});

for (const size of values.sizes.split(",") as ShopSize[]) {
  for (const shop of SHOP_FAMILIES[size].slice(0, Number(values.instances))) {
    const read = readProblemFile(generateShop(size, shop));
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    const model = buildModel(read.value);
    const rule = bestRulePlan(model, [], estimate(model), RULES, () => false);
    const taken: number[] = [];
    let hash = "";
    for (let i = 0; i < Number(values.times); i++) {
      const begun = performance.now();
      const state = givenState(model, []);
      decodeOrder(state, rule.order, rule.choosing);
      taken.push(performance.now() - begun);
      if (i === 0)
        hash = createHash("sha256")
          .update(JSON.stringify(writePlan(state)))
          .digest("hex")
          .slice(0, 8);
    }
    taken.sort((a, b) => a - b);
    const at = (share: number): string => taken[Math.min(taken.length - 1, Math.floor(share * taken.length))]!.toFixed(2);
    console.log(
      `${size} operations, shop ${shop}: least ${at(0)}, median ${at(0.5)}, p95 ${at(0.95)} ms; ${model.ops.length} operations, ` +
        `${(model.ops.reduce((sum, op) => sum + op.modes.length, 0) / model.ops.length).toFixed(2)} modes each; ${hash}`,
    );
  }
}
