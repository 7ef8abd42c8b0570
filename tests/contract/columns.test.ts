/** Columns against JSON itself: what comes out is what JSON.stringify and JSON.parse make of the value, whatever its form. */
import { fc, test } from "@fast-check/vitest";
import { expect, test as plainTest } from "vitest";
import { generateShop } from "../../seed/shop-generator.ts";
import { type Column, fromColumns, inColumns } from "../../src/contract/columns.ts";

/** As they travel: through text. */
const columnsOf = (value: unknown): string => JSON.stringify(inColumns(value));
const plainOf = (text: string): unknown => fromColumns(JSON.parse(text) as Column);

/** Any JSON, and lists in which the same few things come again and again, whole or with a field left out. */
const anyJson = fc.jsonValue({ maxDepth: 4 }).filter((value) => !JSON.stringify(value).includes("__proto__"));
const alike = fc
  .array(anyJson, { minLength: 1, maxLength: 4 })
  .chain((few) =>
    fc.array(
      fc.oneof(
        fc.constantFrom(...few),
        fc.record({ id: fc.nat(3), name: fc.constantFrom("a", "b"), part: fc.constantFrom(...few) }, { requiredKeys: ["id"] }),
        fc.array(fc.tuple(fc.nat(2), fc.nat(2)), { maxLength: 3 }),
      ),
      { maxLength: 30 },
    ),
  );

test.prop([fc.oneof(anyJson, alike)], { numRuns: 500 })("what comes out is what went in", (value) => {
  expect(plainOf(columnsOf(value))).toStrictEqual(JSON.parse(JSON.stringify(value)));
});

plainTest("a shop of 300 operations comes back whole from a quarter of its text", () => {
  const shop = JSON.parse(JSON.stringify(generateShop("300", 1))) as unknown;
  const text = columnsOf(shop);
  expect(plainOf(text)).toStrictEqual(shop);
  expect(text.length).toBeLessThan(JSON.stringify(shop).length / 4);
});

plainTest("fields that are undefined are left out, as JSON leaves them out", () => {
  expect(plainOf(columnsOf([{ a: 1, b: undefined }, { a: 1 }, { b: [undefined, 2] }]))).toStrictEqual([
    { a: 1 },
    { a: 1 },
    { b: [null, 2] },
  ]);
});
