/** The layer that changes while a bar is in the hand: the lifted bar as it would lie, its old place as a phantom, a guide at its start. */
import type { Bar } from "../bar.ts";
import type { BoardModel } from "../board-model.ts";
import { paintBar } from "./bar-layer.ts";
import { paintLabel } from "./label-layer.ts";
import { paintConflictFrame } from "./mark-layer.ts";
import { type BoardView, type Surface, sceneOf } from "./surface.ts";

export type LiftedPicture = {
  /** Bars of the lifted operation at their new places. */
  readonly bars: readonly Bar[];
  readonly old: readonly Bar[];
  readonly refused: boolean;
};

export function paintMoving(surface: Surface, model: BoardModel, view: BoardView, lifted: LiftedPicture | null): void {
  const { ctx, density, palette } = surface;
  ctx.setTransform(1, 0, 0, 1, 0, 0);
  ctx.clearRect(0, 0, ctx.canvas.width, ctx.canvas.height);
  if (!lifted) return;
  const scene = sceneOf(model, view, density);
  const { size } = view;
  ctx.save();
  ctx.setTransform(density, 0, 0, density, Math.round(size.names * density), Math.round(size.axis * density));
  ctx.beginPath();
  ctx.rect(0, 0, scene.width, scene.height);
  ctx.clip();
  ctx.strokeStyle = palette.ghost;
  ctx.lineWidth = 1.5;
  ctx.setLineDash([9, 3, 1.75, 3, 1.75, 3]);
  for (const bar of lifted.old) {
    for (const lane of bar.lanes) {
      const x = scene.x(bar.start);
      ctx.strokeRect(
        x + 0.75,
        scene.y(lane) + scene.row.above + 0.75,
        Math.max(2, scene.x(bar.end) - x - 1.5),
        scene.row.bar - 1.5,
      );
    }
  }
  ctx.setLineDash([]);
  for (const bar of lifted.bars) {
    for (const lane of bar.lanes) {
      const y = scene.y(lane) + scene.row.above;
      const x = scene.x(bar.start);
      const right = scene.x(bar.end);
      ctx.shadowColor = "rgba(0,0,0,0.35)";
      ctx.shadowBlur = 7 * density;
      ctx.shadowOffsetY = 2 * density;
      ctx.fillStyle = palette.raised;
      ctx.fillRect(x - 2, y - 2, Math.max(4, right - x + 4), scene.row.bar + 4);
      ctx.shadowColor = "transparent";
      ctx.shadowBlur = 0;
      ctx.shadowOffsetY = 0;
      paintBar(surface, scene, bar, y);
      if (lifted.refused) paintConflictFrame(surface, scene, x, right, y, bar);
      else {
        ctx.strokeStyle = palette.ink;
        ctx.lineWidth = 2;
        ctx.strokeRect(x - 3, y - 3, right - x + 6, scene.row.bar + 6);
      }
      paintLabel(surface, scene, { bar, lane, x, right, y, next: Number.POSITIVE_INFINITY });
      ctx.fillStyle = palette.ink;
      ctx.fillRect(x - 0.5, 0, 1, scene.height);
    }
  }
  ctx.restore();
}
