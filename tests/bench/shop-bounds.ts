/**
 * How near the proven bound of a real shop comes: `npx tsx tests/bench/shop-bounds.ts [--sizes 60,300] [--iterations N]`. Generated
 * shops judged by the end of everything or by the largest lateness alone, planned and bounded. Prints a row for each, and as its
 * last line one JSON object. Asserts nothing; that a bound is never above an optimum is tests/core/solve/shop-bound.test.ts.
 */
import { parseArgs } from "node:util";
import { generateShop, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { NO_WEIGHTS } from "../../src/core/problem/objective.ts";
import { shopBound } from "../../src/core/solve/bound/shop-bound.ts";

const { values } = parseArgs({
  options: {
    sizes: { type: "string", default: "60,300" },
    instances: { type: "string", default: "3" },
    iterations: { type: "string", default: "3000" },
  },
});
const rows: object[] = [];
for (const size of values.sizes.split(",") as ShopSize[]) {
  for (let instance = 1; instance <= Number(values.instances); instance++) {
    const read = readProblemFile(generateShop(size, instance));
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    for (const part of ["makespan", "maxLateness"] as const) {
      const problem = { ...read.value, weights: { ...NO_WEIGHTS, [part]: 1 } };
      const begun = process.cpuUsage();
      const lowerBound = shopBound(problem);
      const { user, system } = process.cpuUsage(begun);
      const { cost, conflicts, bound } = makePlan(problem, { seed: 1, iterations: Number(values.iterations) });
      const row = { size, instance, part, ours: cost.total, lowerBound, milliseconds: Math.round((user + system) / 1000) };
      rows.push({ ...row, conflicts: conflicts.length, bound });
      const says = bound.kind === "within" ? `within ${bound.percent.toFixed(1)} %` : bound.kind;
      console.log(
        `${size.padStart(5)} no ${instance} ${part.padEnd(12)} ours ${row.ours} bound ${lowerBound} (${row.milliseconds} ms) ${says}`,
      );
    }
  }
}
console.log(JSON.stringify(rows));
