/** Every pair of colours that screens use holds its contrast in both themes; the arithmetic itself is held against published values. */
import { describe, expect, test } from "vitest";
import { CONTRAST_PAIRS, contrastOf, contrastRatio, laidOver, rgbOf } from "../../web/tokens/contrast.ts";
import { customPropertiesCss, FORCED } from "../../web/tokens/custom-properties.ts";
import { COLOURS, ROW } from "../../web/tokens/tokens.ts";

describe("contrast", () => {
  test("follows WCAG 2.2: black on white is 21, a colour on itself 1, #767676 on white just passes 4.5 (W3C, Understanding SC 1.4.3)", () => {
    expect(contrastRatio([0, 0, 0], [255, 255, 255])).toBeCloseTo(21, 10);
    expect(contrastRatio(rgbOf("#2B5C8F"), rgbOf("#2B5C8F"))).toBe(1);
    expect(contrastRatio(rgbOf("#767676"), rgbOf("#FFFFFF"))).toBeCloseTo(4.54, 2);
    expect(contrastRatio(rgbOf("#777777"), rgbOf("#FFFFFF"))).toBeLessThan(4.5);
  });

  test("a wash lies between its ground and its colour", () => {
    expect(laidOver([255, 0, 0], [0, 0, 0], 0.5)).toEqual([127.5, 0, 0]);
  });

  for (const theme of ["light", "dark"] as const) {
    test.each(
      CONTRAST_PAIRS.map(
        (pair) =>
          [pair.front, typeof pair.ground === "string" ? pair.ground : `marker over ${pair.ground.markerOver}`, pair] as const,
      ),
    )(`${theme}: %s on %s`, (_front, _ground, pair) => {
      expect(contrastOf(pair, theme)).toBeGreaterThanOrEqual(pair.least);
    });
  }

  test("every colour that writes or marks is held to some ground", () => {
    const grounds = [
      "sheet",
      "panel",
      "raised",
      "night",
      "closed",
      "machineTint",
      "rigTint",
      "maintenanceTint",
      "warnTint",
      "badTint",
      "chosenRow",
      "marker",
    ];
    const decoration = ["line", "closedDot"];
    const front = Object.keys(COLOURS).filter((role) => !grounds.includes(role) && !decoration.includes(role));
    const held = new Set<string>([...CONTRAST_PAIRS.map((pair) => pair.front), "accent"]);
    expect(front.filter((role) => !held.has(role))).toEqual([]);
  });
});

test("the style sheet carries every role for light, dark and print", () => {
  const css = customPropertiesCss();
  for (const { light, dark } of Object.values(COLOURS)) {
    expect(css.split(light).length - 1).toBeGreaterThanOrEqual(2);
    expect(css).toContain(dark);
  }
  expect(css).toContain("--machine-tint:#D3E2F0;");
});

test("under imposed colours text and marks differ from the ground they lie on", () => {
  for (const { front, ground } of CONTRAST_PAIRS) {
    if (typeof ground === "string") expect(FORCED[front], `${front} on ${ground}`).not.toBe(FORCED[ground]);
  }
  expect(customPropertiesCss()).toContain("@media (forced-colors:active)");
});

test("a low bar is clearly lower than a tall one, at every row height", () => {
  for (const { row, bar, low, above } of Object.values(ROW)) {
    expect(low).toBeLessThan(bar * 0.5);
    expect(bar + above).toBeLessThanOrEqual(row);
  }
});
