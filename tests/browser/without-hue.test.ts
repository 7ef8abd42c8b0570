/**
 * No meaning rests on hue: seen without any colour and with each of three colour-vision types, every mark of the board's legend still
 * differs from every other in brightness and shape. The browser's own emulation of colour vision makes the pictures.
 */
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect } from "vitest";
import { present } from "../../src/core/ground/invariant.ts";
import { words } from "../../web/words/words.ts";
import { browserTest, findChromium, launchChromium, openContext } from "./support/chromium.ts";
import { type RunningApp, startApp } from "./support/running-app.ts";

let app: RunningApp;
let browser: Browser | undefined;
beforeAll(async () => {
  app = await startApp();
  if (findChromium() !== undefined) browser = await launchChromium();
});
afterAll(async () => {
  await browser?.close();
  await app.stop();
});

const SIGHTS = ["achromatopsia", "protanopia", "deuteranopia", "tritanopia"] as const;
/** A step in brightness (of 255) that is seen at once, and how much of a mark must show it. Ours, from looking: no source. */
const STEP = 32;
const SHARE = 0.04;
/** Machine and rig work look alike without hue on purpose: the heading of the group of rows says which of the two it is. */
const SAID_OTHERWISE = words.board.legend.rig;

type Mark = { readonly label: string; readonly x: number; readonly y: number; readonly width: number; readonly height: number };

/** The brightness of each pixel of each legend mark as it is seen, by its label. */
async function marks(page: Page): Promise<Map<string, number[]>> {
  const legend = page.locator(".board-legend");
  const boxes = await legend.evaluate((element): Mark[] => {
    const frame = element.getBoundingClientRect();
    return [...element.querySelectorAll("li")].map((entry) => {
      const mark = (entry.querySelector("svg") as SVGElement).getBoundingClientRect();
      const [x, y] = [Math.round(mark.x - frame.x), Math.round(mark.y - frame.y)];
      return { label: entry.textContent ?? "", x, y, width: Math.round(mark.width), height: Math.round(mark.height) };
    });
  });
  const picture = (await legend.screenshot()).toString("base64");
  const seen = await page.evaluate(brightness, { picture, boxes });
  return new Map(seen);
}

async function brightness({ picture, boxes }: { picture: string; boxes: Mark[] }): Promise<[string, number[]][]> {
  const bytes = Uint8Array.from(atob(picture), (letter) => letter.charCodeAt(0));
  const image = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
  const paint = new OffscreenCanvas(image.width, image.height).getContext("2d");
  if (!paint) throw new Error("no canvas to read the picture with");
  paint.drawImage(image, 0, 0);
  return boxes.map(({ label, x, y, width, height }) => {
    const { data } = paint.getImageData(x, y, width, height);
    const pixel = (i: number) => [data[4 * i] ?? 0, data[4 * i + 1] ?? 0, data[4 * i + 2] ?? 0] as const;
    // Rec. 709 luma of what is on screen.
    const luma = Array.from({ length: width * height }, (_, i) => {
      const [red, green, blue] = pixel(i);
      return Math.round(0.2126 * red + 0.7152 * green + 0.0722 * blue);
    });
    return [label, luma];
  });
}

const shareThatDiffers = (a: readonly number[], b: readonly number[]): number =>
  a.filter((value, i) => Math.abs(value - (b[i] ?? 255)) >= STEP).length / a.length;

describe.each(["light", "dark"] as const)("%s", (colorScheme) => {
  browserTest("the marks of the legend differ pairwise without hue", async () => {
    const page = await (await openContext(present(browser, "browser"), { colorScheme })).newPage();
    await page.goto(app.address);
    await page.locator(".board-legend li").first().waitFor();
    const sight = await page.context().newCDPSession(page);
    const alike: string[] = [];
    for (const type of SIGHTS) {
      await sight.send("Emulation.setEmulatedVisionDeficiency", { type });
      const seen = [...(await marks(page))];
      expect(seen.length).toBeGreaterThan(10);
      for (const [i, [label, pixels]] of seen.entries())
        for (const [other, others] of seen.slice(i + 1)) {
          expect(others.length).toBe(pixels.length);
          if (label === SAID_OTHERWISE || other === SAID_OTHERWISE) continue;
          const share = shareThatDiffers(pixels, others);
          if (share < SHARE) alike.push(`${type}: ${label} and ${other} differ in ${(share * 100).toFixed(1)} %`);
        }
    }
    expect(alike).toEqual([]);
    await page.context().close();
  });
});
