/**
 * Runs inside the browser: scrolls the real painter through scripted frames at every zoom tier and measures the time between animation
 * frames and the main-thread time of each. Asks no network and reads no clock but the browser's.
 */
import "@fontsource/ibm-plex-sans-condensed/400.css";
import "@fontsource/ibm-plex-sans-condensed/500.css";
import "@fontsource/ibm-plex-sans-condensed/600.css";
import { check } from "../../../src/core/check/checker.ts";
import { boardModel, shopModel } from "../../../web/board/board-model.ts";
import { chainOf } from "../../../web/board/chain.ts";
import { ghostsOf } from "../../../web/board/ghosts.ts";
import { paintBoard } from "../../../web/board/paint/board-painter.ts";
import { FACE_FONTS, makeLabels } from "../../../web/board/paint/labels.ts";
import { themePalette } from "../../../web/board/paint/palette.ts";
import { makePatterns } from "../../../web/board/paint/patterns.ts";
import { createSheet } from "../../../web/board/paint/sheet.ts";
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
  /** First picture, model included; and how much of everything there is to draw. */
  readonly first: readonly {
    readonly bars: number;
    readonly ms: number;
    readonly conflicts: number;
    readonly late: number;
    readonly chain: number;
  }[];
};

const FRAMES = 120;
/** Frames of one board before the next one has its turn, and those before them that do not count. */
const TURN = 15;
const WARM_UP = 2;
const BARS_A_CONFLICT = 50;
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
  const first: Measurement["first"][number][] = [];
  const boards = counts.map((bars) => {
    const { problem, plan, holds, offered } = manyBars(bars);
    const checked = check(problem, plan);
    // The made-up shop breaks far more rules than a draft does: some of its conflicts are enough.
    const every = Math.max(1, Math.floor((checked.conflicts.length * BARS_A_CONFLICT) / bars));
    const some = { ...checked, conflicts: checked.conflicts.filter((_, i) => i % every === 0) };
    const began = performance.now();
    const model = boardModel(shopModel(problem, siteTime(problem.zone, problem.origin, problem.now), holds), plan, some);
    const size = boardSize(WIDTH, HEIGHT, true);
    const strip = stripProfile(model, { kind: "hands" });
    const words = paintWords(model.shop.time);
    let ghosts: ReturnType<typeof ghostsOf> | null = null;
    let chain: ReturnType<typeof chainOf> | null = null;
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
      ghosts,
      chain,
      words,
      now: problem.now,
    });
    paintBoard(surface, model, view(24, -200));
    const ms = performance.now() - began;
    ghosts = ghostsOf(model, offered);
    const latest = model.late[0];
    chain = chainOf(model, latest ? { kind: "order", order: latest.order.id } : { kind: "plan" });
    first.push({ bars, ms, conflicts: model.conflicts.placed.length, late: model.late.length, chain: chain.bars.length });
    // As far as there is work: beyond it there is nothing to paint.
    const last = model.bars.reduce((latest, { end }) => Math.max(latest, end), 0);
    return {
      bars,
      model,
      view,
      sheet: createSheet(),
      span: (perHour: number) => Math.max(1, last - (timeArea(size).width / perHour) * 60),
    };
  });
  const rows: Measured[] = [];
  for (const [tier, perHour] of Object.entries(TIERS) as [TierName, number][]) {
    const measured = boards.map(() => ({ frames: [] as number[], tasks: [] as number[] }));
    // A few frames of each board in turn: whatever else the machine does meanwhile meets all of them alike.
    for (let turn = 0; turn * TURN < FRAMES; turn++) {
      for (const [i, { model, view, span, sheet }] of boards.entries()) {
        let last = await nextFrame();
        for (let step = 0; step < TURN + WARM_UP; step++) {
          const task = performance.now();
          // Twelve pixels a frame, over what there is, again and again.
          const travel = ((turn * TURN + step) * 12 * 60) / perHour;
          const shown = view(perHour, travel % span(perHour));
          paintBoard(surface, model, shown, sheet.serves(shown) ? sheet : null);
          const took = performance.now() - task;
          const now = await nextFrame();
          if (step >= WARM_UP) {
            measured[i]?.frames.push(now - last);
            measured[i]?.tasks.push(took);
          }
          last = now;
        }
      }
    }
    for (const [i, { bars }] of boards.entries()) {
      const { frames, tasks } = measured[i] ?? { frames: [], tasks: [] };
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
