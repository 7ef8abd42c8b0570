/**
 * Runs inside the browser: scrolls the real painter through scripted frames at every zoom tier and measures the time between animation
 * frames and the main-thread time of each. Asks no network and reads no clock but the browser's.
 */
import "@fontsource/ibm-plex-sans-condensed/400.css";
import "@fontsource/ibm-plex-sans-condensed/500.css";
import "@fontsource/ibm-plex-sans-condensed/600.css";
import { NO_WEIGHTS } from "../../../src/core/problem/objective.ts";
import { boardModel, shopModel } from "../../../web/board/board-model.ts";
import { paintBoard } from "../../../web/board/paint/board-painter.ts";
import { FACE_FONTS, makeLabels } from "../../../web/board/paint/labels.ts";
import { themePalette } from "../../../web/board/paint/palette.ts";
import { makePatterns } from "../../../web/board/paint/patterns.ts";
import { type BoardView, boardSize, timeArea } from "../../../web/board/paint/surface.ts";
import { siteTime } from "../../../web/present/site-time.ts";
import { paintWords, stripProfile } from "../../../web/screens/plan-board/paint-words.ts";
import { manyBars } from "./many-bars.ts";

/** Pixels an hour, one in the middle of each tier. */
const TIERS = { clock: 90, full: 24, flat: 7, silhouette: 2, column: 0.5 } as const;
export type TierName = keyof typeof TIERS;
export type Measured = {
  readonly bars: number;
  readonly tier: TierName;
  readonly frameP50: number;
  readonly frameP95: number;
  readonly taskP50: number;
  readonly taskP95: number;
};
export type Measurement = {
  readonly rows: readonly Measured[];
  readonly first: readonly { readonly bars: number; readonly ms: number }[];
};

const FRAMES = 90;
const WARM_UP = 10;
const WIDTH = 1600;
const HEIGHT = 1000;

const rank = (values: readonly number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * share))] ?? 0;
const nextFrame = (): Promise<number> => new Promise((resolve) => requestAnimationFrame(resolve));

async function measure(counts: readonly number[]): Promise<Measurement> {
  await Promise.all(FACE_FONTS.map((font) => document.fonts.load(font)));
  const canvas = document.createElement("canvas");
  canvas.width = WIDTH;
  canvas.height = HEIGHT;
  document.body.append(canvas);
  const ctx = canvas.getContext("2d", { alpha: false });
  if (!ctx) throw new Error("no canvas");
  const palette = themePalette("light");
  const surface = { ctx, density: 1, palette, patterns: makePatterns(ctx, palette, 1), labels: makeLabels(1) };
  const rows: Measured[] = [];
  const first: { bars: number; ms: number }[] = [];
  for (const bars of counts) {
    const { problem, plan } = manyBars(bars);
    const noCost = { conflicts: [], cost: { parts: NO_WEIGHTS, total: 0 } };
    const began = performance.now();
    const model = boardModel(shopModel(problem, siteTime(problem.zone, problem.origin, problem.now)), plan, noCost);
    const size = boardSize(WIDTH, HEIGHT, true);
    const area = timeArea(size);
    const view = (perHour: number, left: number): BoardView => ({
      camera: { left, scale: perHour / 60, top: 0 },
      size,
      density: "dense",
      chosenOrder: "1000",
      focusKey: null,
      showPublished: true,
      showLinks: true,
      strip,
      lift: null,
      words,
      now: problem.now,
    });
    const strip = stripProfile(model, { kind: "hands" });
    const words = paintWords(model.shop.time);
    paintBoard(surface, model, view(24, -200));
    first.push({ bars, ms: performance.now() - began });
    for (const [tier, perHour] of Object.entries(TIERS) as [TierName, number][]) {
      const span = (area.width / perHour) * 60;
      const room = Math.max(0, problem.horizon - span);
      const frames: number[] = [];
      const tasks: number[] = [];
      let last = await nextFrame();
      for (let i = 0; i < FRAMES + WARM_UP; i++) {
        const task = performance.now();
        // Twelve pixels a frame, back and forth over what there is.
        const travel = (i * 12 * 60) / perHour;
        paintBoard(surface, model, view(perHour, room === 0 ? travel / 50 : travel % room));
        const took = performance.now() - task;
        const now = await nextFrame();
        if (i >= WARM_UP) {
          frames.push(now - last);
          tasks.push(took);
        }
        last = now;
      }
      rows.push({
        bars,
        tier,
        frameP50: rank(frames, 0.5),
        frameP95: rank(frames, 0.95),
        taskP50: rank(tasks, 0.5),
        taskP95: rank(tasks, 0.95),
      });
    }
  }
  return { rows, first };
}

declare global {
  interface Window {
    measureBoard: (counts: readonly number[]) => Promise<Measurement>;
  }
}
window.measureBoard = measure;
