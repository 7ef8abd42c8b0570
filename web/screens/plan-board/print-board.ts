/**
 * Print: the board repainted at print density on an A3 sheet (never a photograph of the screen), always on the light sheet,
 * with title block and legend as text beside it by the page's own print style.
 */
import type { BoardModel } from "../../board/board-model.ts";
import { spanOf } from "../../board/camera.ts";
import { laneTops } from "../../board/lanes.ts";
import { paintBoard } from "../../board/paint/board-painter.ts";
import { makeLabels } from "../../board/paint/labels.ts";
import { themePalette } from "../../board/paint/palette.ts";
import { makePatterns } from "../../board/paint/patterns.ts";
import { type BoardView, boardSize, timeArea } from "../../board/paint/surface.ts";
import type { BoardController } from "./board-controller.ts";
import { paintWords, stripProfile } from "./paint-words.ts";

/** 300 dots an inch on 96 CSS pixels an inch. */
export const PRINT_DENSITY = 300 / 96;
/** A3 landscape less 12 mm margins and the space of title block and legend, in CSS pixels. */
const SHEET = { width: 1496, height: 940 };

/** The picture of the board as a data address for an image; as many rows as fit the sheet, the time shown on screen. */
export async function printPicture(controller: BoardController): Promise<string> {
  const { model, options, camera, size, chosenOrder } = controller.snapshot();
  const strip = options.strip ? stripProfile(model, options.strip) : null;
  const rows = laneTops(model.lanes, options.density).at(-1) ?? 0;
  const printed = boardSize(SHEET.width, Math.min(SHEET.height, rows + 58 + (strip ? 82 : 0) + 1), strip !== null);
  const span = spanOf(camera, timeArea(size));
  const view: BoardView = {
    camera: { left: camera.left, scale: timeArea(printed).width / span, top: 0 },
    size: printed,
    density: options.density,
    chosenOrder,
    focusKey: null,
    showPublished: options.published,
    showLinks: options.links,
    strip,
    lift: null,
    words: paintWords(model.shop.time),
    now: model.shop.problem.now,
  };
  return paintToImage(model, view, PRINT_DENSITY);
}

async function paintToImage(model: BoardModel, view: BoardView, density: number): Promise<string> {
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(view.size.width * density);
  canvas.height = Math.round(view.size.height * density);
  const ctx = canvas.getContext("2d", { alpha: false });
  if (!ctx) return "";
  const palette = themePalette("light");
  paintBoard({ ctx, density, palette, patterns: makePatterns(ctx, palette, density), labels: makeLabels(density) }, model, view);
  return canvas.toDataURL("image/png");
}
