/**
 * Print: the board repainted at print density on an A3 sheet (never a photograph of the screen), always on the light sheet,
 * with title block and legend as text on every sheet by the page's own print style.
 */
import type { BoardModel } from "../../board/board-model.ts";
import { spanOf } from "../../board/camera.ts";
import { laneTops } from "../../board/lanes.ts";
import { paintBoard } from "../../board/paint/board-painter.ts";
import { makeLabels } from "../../board/paint/labels.ts";
import { themePalette } from "../../board/paint/palette.ts";
import { makePatterns } from "../../board/paint/patterns.ts";
import { type BoardView, boardSize, timeArea } from "../../board/paint/surface.ts";
import { printPages } from "../../board/print-pages.ts";
import type { BoardController } from "./board-controller.ts";
import { paintWords, stripProfile } from "./paint-words.ts";

/** 300 dots an inch on 96 CSS pixels an inch. */
export const PRINT_DENSITY = 300 / 96;
/** A3 landscape less 12 mm margins and the space of title block and legend, in CSS pixels. */
const SHEET = { width: 1496, height: 940 };

/** The board as pictures, one for each sheet, as data addresses for images: all rows, the time shown on screen. */
export async function printPictures(controller: BoardController): Promise<readonly string[]> {
  const { model, options, camera, size, chosenOrder } = controller.snapshot();
  const strip = options.strip ? stripProfile(model, options.strip) : null;
  const whole = boardSize(SHEET.width, SHEET.height, strip !== null);
  const around = whole.axis + whole.strip + 1;
  const span = spanOf(camera, timeArea(size));
  const view = (top: number, bottom: number): BoardView => ({
    camera: { left: camera.left, scale: timeArea(whole).width / span, top },
    size: { ...whole, height: bottom - top + around },
    density: options.density,
    chosenOrder,
    focusKey: null,
    showPublished: options.published,
    showLinks: options.links,
    strip,
    lift: null,
    words: paintWords(model.shop.time),
    now: controller.now(),
  });
  const pages = printPages(model.lanes, laneTops(model.lanes, options.density), SHEET.height - around);
  return Promise.all(pages.map(({ top, bottom }) => paintToImage(model, view(top, bottom), PRINT_DENSITY)));
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
