/**
 * An offered plan over the one that lies: work that would leave its place stands back, and where it would go is an ink outline in
 * short dashes with an arrow and its number, with the line of a rush order over it if it is the one asked for. The published place keeps its own long dash, so that the two are told apart in any ink.
 */
import type { PlacedBar } from "./bar-layer.ts";
import type { Scene, Surface } from "./surface.ts";

const STANDS_BACK = 0.62;
const ASKED_LINE = 3;

export function paintGhosts(surface: Surface, scene: Scene, placed: readonly PlacedBar[]): void {
  const { ghosts } = scene.view;
  if (!ghosts) return;
  const { ctx, palette, labels } = surface;
  ctx.fillStyle = palette.sheet;
  ctx.globalAlpha = STANDS_BACK;
  for (const { bar, x, right, y } of placed) {
    if (!ghosts.leaving.has(bar.operation.id) || bar.state !== "planned") continue;
    const left = Math.max(x - 1, -40);
    ctx.fillRect(left, y - 1, Math.min(right + 1, scene.width + 40) - left, scene.row.bar + 2);
  }
  ctx.globalAlpha = 1;
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    const y = scene.y(lane) + scene.row.above;
    for (const ghost of ghosts.onLane[lane] ?? []) {
      if (ghost.end <= scene.start || ghost.start >= scene.end) continue;
      const x = Math.max(scene.x(ghost.start), -40);
      const right = Math.max(Math.min(scene.x(ghost.end), scene.width + 40), x + 4);
      ctx.globalAlpha = 0.5;
      ctx.fillStyle = palette.raised;
      ctx.fillRect(x, y, right - x, scene.row.bar);
      ctx.globalAlpha = 1;
      ctx.strokeStyle = palette.ink;
      ctx.lineWidth = 2;
      ctx.setLineDash([5, 3]);
      ctx.strokeRect(x + 1, y + 1, Math.max(2, right - x - 2), scene.row.bar - 2);
      ctx.setLineDash([]);
      if (ghost.asked) {
        ctx.fillStyle = palette.rush;
        ctx.fillRect(x, y - ASKED_LINE, right - x, ASKED_LINE);
      }
      if (scene.tier === "silhouette" || scene.tier === "column") continue;
      const left = Math.max(x, scene.edges.left) + 6;
      const number = ghost.operation;
      const text = labels.fitting([`→ ${number}`, number], Math.min(right, scene.edges.right) - left - 4, "note");
      if (text !== null) labels.draw(ctx, text, left, y + scene.row.bar / 2 + 4, "note", palette.ink, palette.raised);
    }
  }
}
