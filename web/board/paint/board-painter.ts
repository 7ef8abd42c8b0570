/**
 * One picture of the board: ground, bars, wash, phantoms, marks, ghosts, links, words, balloons - in this order, so that no line ever
 * strikes through a word. The same functions paint the screen, the print and the tests. Knows no DOM beyond the context it is given.
 */
import type { BoardModel } from "../board-model.ts";
import { paintAxis, paintNowLine, paintNowTag } from "./axis-layer.ts";
import { lateBeyond, paintBars, placedBars } from "./bar-layer.ts";
import { paintChain } from "./chain-layer.ts";
import { paintColumns } from "./column-layer.ts";
import { paintGhosts } from "./ghost-layer.ts";
import { paintClosures, paintGround, paintRows, paintTimeLines } from "./ground-layer.ts";
import { paintLabels } from "./label-layer.ts";
import { paintLinks } from "./link-layer.ts";
import {
  paintBalloons,
  paintBarMarks,
  paintChosen,
  paintDueLines,
  paintFocus,
  paintLateMarks,
  paintPhantoms,
} from "./mark-layer.ts";
import { paintNames, paintNamesHead } from "./names-layer.ts";
import type { Sheet } from "./sheet.ts";
import { paintStrip, paintStripHead } from "./strip-layer.ts";
import { type BoardView, type Scene, type Surface, sceneOf } from "./surface.ts";

/** Machines that cannot take the bar in the hand stand back this far. */
const FADED = 0.68;

/** With a sheet, for a view that moves, the rows are put together from its pieces. */
export function paintBoard(surface: Surface, model: BoardModel, view: BoardView, sheet: Sheet | null = null): Scene {
  const scene = sceneOf(model, view, surface.density);
  const { size } = view;
  region(surface, size.names, size.axis, scene.width, scene.height, () => {
    if (sheet === null) paintTimeArea(surface, scene);
    else sheet.lay(surface, scene, paintTimeArea);
    paintScrollMark(surface, scene);
  });
  region(surface, size.names, 0, scene.width, size.axis, () => {
    paintAxis(surface, scene);
    paintNowTag(surface, scene);
  });
  region(surface, 0, size.axis, size.names, scene.height, () => paintNames(surface, scene));
  region(surface, 0, 0, size.names, size.axis, () => paintNamesHead(surface, scene));
  if (size.strip > 0) {
    region(surface, size.names, size.axis + scene.height, scene.width, size.strip, () => {
      paintStrip(surface, scene);
      paintNowLine(surface, { ...scene, height: size.strip });
    });
    region(surface, 0, size.axis + scene.height, size.names, size.strip, () => paintStripHead(surface, scene));
  }
  return scene;
}

function paintTimeArea(surface: Surface, scene: Scene): void {
  const { view } = scene;
  paintGround(surface, scene);
  paintRows(surface, scene);
  paintTimeLines(surface, scene);
  paintClosures(surface, scene);
  if (scene.tier === "column") {
    paintColumns(surface, scene);
    paintNowLine(surface, scene);
    return;
  }
  const liftedKey = view.lift?.key ?? null;
  const placed = placedBars(scene);
  const resting = liftedKey === null ? placed : placed.filter(({ bar }) => bar.key !== liftedKey);
  paintChosen(surface, scene, resting);
  paintBars(surface, scene, placed, liftedKey);
  if (view.showPublished) paintPhantoms(surface, scene);
  const beyond = lateBeyond(scene, liftedKey);
  paintBarMarks(surface, scene, resting);
  paintDueLines(surface, scene, beyond);
  paintGhosts(surface, scene, resting);
  paintNowLine(surface, scene);
  paintLinks(surface, scene);
  paintChain(surface, scene, resting);
  paintFocus(surface, scene, resting);
  paintLabels(surface, scene, resting, liftedKey);
  paintLateMarks(surface, scene, [...resting, ...beyond]);
  paintBalloons(surface, scene, resting);
  if (view.lift) fadeOthers(surface, scene, view.lift.can);
}

/** How far down the rows one is, when they do not all fit. */
function paintScrollMark({ ctx, palette }: Surface, scene: Scene): void {
  const all = scene.tops.at(-1) ?? 0;
  if (all <= scene.height) return;
  const height = Math.max(24, (scene.height / all) * scene.height);
  const y = (scene.view.camera.top / (all - scene.height)) * (scene.height - height);
  ctx.fillStyle = palette.edge;
  ctx.globalAlpha = 0.55;
  ctx.fillRect(scene.width - 5, y, 5, height);
  ctx.globalAlpha = 1;
}

function fadeOthers({ ctx, palette }: Surface, scene: Scene, can: ReadonlySet<number>): void {
  ctx.globalAlpha = FADED;
  ctx.fillStyle = palette.sheet;
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    if (can.has(lane)) continue;
    ctx.fillRect(0, scene.y(lane), scene.width, (scene.tops[lane + 1] as number) - (scene.tops[lane] as number));
  }
  ctx.globalAlpha = 1;
}

function region({ ctx, density }: Surface, x: number, y: number, width: number, height: number, paint: () => void): void {
  ctx.save();
  ctx.setTransform(density, 0, 0, density, Math.round(x * density), Math.round(y * density));
  ctx.beginPath();
  ctx.rect(0, 0, width, height);
  ctx.clip();
  paint();
  ctx.restore();
}
