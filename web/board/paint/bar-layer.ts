/** The bars themselves: height is people, fill is work. Bodies only; marks, links and words lie above in layers of their own. */
import type { Bar, Segment } from "../bar.ts";
import { rangeOf } from "../board-model.ts";
import { paintMaintenance } from "./ground-layer.ts";
import { cutLeft, type Scene, type Surface } from "./surface.ts";

/** Bars of fewer pixels give none of them to a line between them. */
const PARTED_FROM = 4;

/** A bar where it stands in this frame. */
export type PlacedBar = {
  readonly bar: Bar;
  readonly lane: number;
  readonly x: number;
  readonly right: number;
  readonly y: number /** Left edge of the next bar in the row. */;
  readonly next: number;
};

export function placedBars(scene: Scene): readonly PlacedBar[] {
  const out: PlacedBar[] = [];
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    const row = scene.model.onLane[lane];
    if (!row || row.bars.length === 0) continue;
    const [from, until] = rangeOf(row, scene.start, scene.end);
    const y = scene.y(lane) + scene.row.above;
    for (let i = from; i < until; i++) {
      const bar = row.bars[i] as Bar;
      if (bar.end < scene.start) continue;
      const following = row.bars[i + 1];
      out.push({
        bar,
        lane,
        x: scene.x(bar.start),
        right: scene.x(bar.end),
        y,
        next: following ? scene.x(following.start) : Number.POSITIVE_INFINITY,
      });
    }
  }
  return out;
}

/** Late work that begins beyond the right edge, with its due minute before it: its line runs through the picture. */
export function lateBeyond(scene: Scene, skipKey: string | null): readonly PlacedBar[] {
  const out: PlacedBar[] = [];
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    for (const bar of scene.model.onLane[lane]?.late ?? []) {
      if (bar.start < scene.end || bar.key === skipKey || (bar.order.due ?? scene.end) >= scene.end) continue;
      const y = scene.y(lane) + scene.row.above;
      out.push({ bar, lane, x: scene.x(bar.start), right: scene.x(bar.end), y, next: Number.POSITIVE_INFINITY });
    }
  }
  return out;
}

export function paintBars(surface: Surface, scene: Scene, placed: readonly PlacedBar[], skipKey: string | null): void {
  let lastLane = -1;
  let covered = Number.NEGATIVE_INFINITY;
  for (const place of placed) {
    if (place.bar.key === skipKey) continue;
    if (place.lane !== lastLane) {
      lastLane = place.lane;
      covered = Number.NEGATIVE_INFINITY;
    }
    // Silhouettes closer than a pixel merge: what is already covered needs no second rectangle.
    if (scene.tier === "silhouette" && place.right <= covered) continue;
    paintBar(surface, scene, place.bar, place.y);
    // Two solid bars that touch would read as one.
    if (scene.tier !== "silhouette" && place.x <= covered && place.right - place.x >= PARTED_FROM) {
      surface.ctx.fillStyle = surface.palette.sheet;
      surface.ctx.fillRect(place.x, place.y, 1, scene.row.bar);
    }
    covered = Math.max(covered, place.right);
  }
}

export function paintBar(surface: Surface, scene: Scene, bar: Bar, y: number): void {
  const { ctx, palette } = surface;
  const { row } = scene;
  if (bar.trade === "maintenance") {
    paintMaintenance(surface, scene, scene.x(bar.start), scene.x(bar.end), y, row.bar, bar.order.name);
    wash(surface, scene, bar, y);
    return;
  }
  const rig = bar.trade === "rig";
  const main = rig ? palette.rig : palette.machine;
  const tint = rig ? palette.rigTint : palette.machineTint;
  for (const segment of bar.segments) {
    if (segment.end <= scene.start || segment.start >= scene.end) continue;
    paintSegment(surface, scene, segment, y, main, tint, rig);
  }
  if (bar.segments.length === 0) {
    ctx.fillStyle = main;
    ctx.fillRect(scene.x(bar.start) - 1, y, 2, row.bar);
  }
  wash(surface, scene, bar, y);
}

function paintSegment(
  surface: Surface,
  scene: Scene,
  segment: Segment,
  y: number,
  main: string,
  tint: string,
  rig: boolean,
): void {
  const { ctx, palette, patterns } = surface;
  const { row, tier } = scene;
  // Far outside edges are cut so that dashes and patterns never walk along miles of unseen bar.
  const x = cutLeft(scene.x(segment.start));
  const right = Math.min(scene.x(segment.end), scene.width + 24);
  const width = Math.max(tier === "silhouette" ? 0.75 : 1, right - x);
  const height = segment.tall ? row.bar : row.low;
  const top = segment.tall ? y : y + row.bar - row.low;
  const rich = tier === "clock" || tier === "full";
  const bare = tier === "silhouette";
  switch (segment.look) {
    case "run":
      ctx.fillStyle = main;
      ctx.fillRect(x, top, width, height);
      return;
    case "setup":
    case "unload": {
      if (bare) {
        ctx.fillStyle = main;
        ctx.fillRect(x, top, width, height);
        return;
      }
      if (rich && width >= 3) {
        ctx.translate(x, top);
        ctx.fillStyle = patterns.get(
          segment.look === "setup" ? (rig ? "setupRig" : "setupMachine") : rig ? "unloadRig" : "unloadMachine",
        );
        ctx.fillRect(0, 0, width, height);
        ctx.translate(-x, -top);
      } else {
        ctx.fillStyle = tint;
        ctx.fillRect(x, top, width, height);
      }
      frame(ctx, main, x, top, width, height);
      return;
    }
    case "past":
      ctx.fillStyle = tint;
      ctx.fillRect(x, top, width, height);
      if (!bare) frame(ctx, main, x, top, width, height);
      return;
    case "waits":
    case "paused": {
      const edge = segment.look === "waits" ? palette.held : main;
      if (bare) {
        ctx.fillStyle = edge;
        ctx.fillRect(x, top, width, 1);
        ctx.fillRect(x, top + height - 1, width, 1);
        return;
      }
      ctx.fillStyle = palette.sheet;
      ctx.fillRect(x, top, width, height);
      frame(ctx, edge, x, top, width, height);
      if (width < 10) return;
      const middle = Math.round(top + height / 2) - 0.75;
      ctx.fillStyle = edge;
      if (segment.look === "waits") {
        for (let dot = x + 4; dot < right - 3; dot += 6) ctx.fillRect(dot, middle, 1.6, 1.6);
      } else {
        for (let dash = x + 4; dash < right - 4; dash += 10) ctx.fillRect(dash, middle, Math.min(6, right - 4 - dash), 1.75);
      }
    }
  }
}

function frame(ctx: CanvasRenderingContext2D, colour: string, x: number, y: number, width: number, height: number): void {
  ctx.fillStyle = colour;
  if (width <= 2) {
    ctx.fillRect(x, y, width, height);
    return;
  }
  ctx.fillRect(x, y, width, 1);
  ctx.fillRect(x, y + height - 1, width, 1);
  ctx.fillRect(x, y, 1, height);
  ctx.fillRect(x + width - 1, y, 1, height);
}

/** The part left of now stands back. */
function wash(surface: Surface, scene: Scene, bar: Bar, y: number): void {
  const { now } = scene.view;
  if (bar.start >= now) return;
  const x = Math.max(0, scene.x(bar.start));
  const right = Math.min(scene.width, scene.x(Math.min(now, bar.end)));
  if (right <= x) return;
  surface.ctx.globalAlpha = 0.28;
  surface.ctx.fillStyle = surface.palette.sheet;
  surface.ctx.fillRect(x, y, right - x, scene.row.bar);
  surface.ctx.globalAlpha = 1;
}
