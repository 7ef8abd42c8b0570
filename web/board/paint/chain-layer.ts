/**
 * The chain that was asked for: its bars in a frame with their numbers in discs, and the way from each to the one that waited for it.
 * Drawn in ink, so it reads without hue; numbers are those of the list beside the board.
 */
import type { Bar } from "../bar.ts";
import type { PlacedBar } from "./bar-layer.ts";
import { inSight, routeOf, stroke } from "./link-layer.ts";
import type { Scene, Surface } from "./surface.ts";

const DISC = 8;

export function paintChain(surface: Surface, scene: Scene, placed: readonly PlacedBar[]): void {
  const chain = scene.view.chain ?? null;
  if (chain === null) return;
  const { ctx, palette, labels } = surface;
  const bars = chain.bars.map(({ key }) => scene.model.byKey.get(key));
  bars.forEach((bar: Bar | undefined, i) => {
    const before = bars[i + 1]; // the list goes back in time
    if (bar === undefined || before === undefined || !inSight(scene, before, bar)) return;
    stroke(surface, routeOf(scene, before, bar), palette.ink, false);
  });
  for (const { bar, x, right, y } of placed) {
    const number = chain.number.get(bar.key);
    if (number === undefined) continue;
    const left = Math.max(x - 3, -20);
    const width = Math.max(6, Math.min(right + 3, scene.width + 20) - left);
    for (const [line, colour] of [
      [4.5, palette.sheet],
      [2.2, palette.ink],
    ] as const) {
      ctx.lineWidth = line;
      ctx.strokeStyle = colour;
      ctx.strokeRect(left, y - 3, width, scene.row.bar + 6);
    }
    const text = String(number);
    const [cx, cy] = [Math.max(left, scene.edges.left + DISC), y - 3];
    ctx.beginPath();
    ctx.arc(cx, cy, DISC, 0, Math.PI * 2);
    ctx.fillStyle = palette.ink;
    ctx.fill();
    labels.draw(ctx, text, cx - labels.width(text, "note") / 2, cy + 4, "note", palette.sheet, palette.ink);
  }
}
