/** Ground: night and closed days behind all rows, rows closed on their own, closures as framed blocks, day lines, row lines. */
import { type Intervals, indexAtOrAfter } from "../../../src/core/calendar/intervals.ts";
import type { MachineId } from "../../../src/core/plant/machine.ts";
import type { ShopModel } from "../board-model.ts";
import { unitFor } from "../ticks.ts";
import { outline, type Scene, type Surface } from "./surface.ts";

/** Calls back with the pixel span of each interval in view, and with how wide it is where it does not end at an edge. */
export function eachSpan(list: Intervals, scene: Scene, paint: (x: number, width: number, whole: number) => void): void {
  for (let i = indexAtOrAfter(list, scene.start); i < list.length; i++) {
    const [start, end] = list[i] as readonly [number, number];
    if (start >= scene.end) break;
    const x = Math.max(0, scene.x(start));
    const right = Math.min(scene.width, scene.x(end));
    if (right > x) paint(x, right - x, (end - start) * scene.view.camera.scale);
  }
}

/** As the pattern of closed days repeats. */
const DOTS_APART = 8;

export function paintGround(surface: Surface, scene: Scene): void {
  const { ctx, palette, patterns } = surface;
  const { model } = scene;
  const { ground } = model.shop;
  ctx.fillStyle = palette.sheet;
  ctx.fillRect(0, 0, scene.width, scene.height);
  ctx.fillStyle = palette.night;
  eachSpan(ground.night, scene, (x, width) => ctx.fillRect(x, 0, width, scene.height));
  const dots = patterns.get("closed");
  // The dots lie on the ground, not on the glass: they move with it.
  const shift = scene.x(0) % DOTS_APART;
  eachSpan(ground.closed, scene, (x, width, whole) => {
    ctx.fillStyle = palette.closed;
    ctx.fillRect(x, 0, width, scene.height);
    if (scene.tier !== "column" && whole > 12) {
      ctx.translate(shift, scene.y(0) % DOTS_APART);
      ctx.fillStyle = dots;
      ctx.fillRect(x - shift, -(scene.y(0) % DOTS_APART), width, scene.height);
      ctx.translate(-shift, -(scene.y(0) % DOTS_APART));
    }
  });
  // Whatever lies beyond the compiled calendars is closed, too.
  ctx.fillStyle = palette.closed;
  const first = scene.x(ground.start);
  const last = scene.x(ground.end);
  if (first > 0) ctx.fillRect(0, 0, Math.min(first, scene.width), scene.height);
  if (last < scene.width) ctx.fillRect(Math.max(0, last), 0, scene.width - Math.max(0, last), scene.height);
}

const remembered = new WeakMap<ShopModel, ReadonlyMap<MachineId, number>>();

/** Index of each machine. */
function placesOf(shop: ShopModel): ReadonlyMap<MachineId, number> {
  const known = remembered.get(shop) ?? new Map(shop.problem.machines.map(({ id }, i) => [id, i]));
  remembered.set(shop, known);
  return known;
}

export function paintRows(surface: Surface, scene: Scene): void {
  const { ctx, palette } = surface;
  const { model, row } = scene;
  const places = placesOf(model.shop);
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    const entry = model.lanes.list[lane];
    if (!entry) continue;
    const y = scene.y(lane);
    if (entry.kind === "group") {
      const height = (scene.tops[lane + 1] as number) - (scene.tops[lane] as number);
      ctx.globalAlpha = 0.5;
      ctx.fillStyle = palette.panel;
      ctx.fillRect(0, y, scene.width, height);
      ctx.globalAlpha = 1;
    } else if (entry.kind === "machine" && scene.tier !== "column") {
      const index = places.get(entry.machine.id) ?? -1;
      ctx.fillStyle = palette.closed;
      eachSpan(model.shop.closedOf[index] ?? [], scene, (x, width) => ctx.fillRect(x, y + 1, width, row.row - 1));
    }
    ctx.fillStyle = palette.line;
    ctx.fillRect(0, y, scene.width, 0.75);
  }
  ctx.fillStyle = palette.line;
  ctx.fillRect(0, scene.y(scene.lastLane + 1), scene.width, 0.75);
}

/** Hair lines at the marks of the axis, stronger ones at day ends. */
export function paintTimeLines(surface: Surface, scene: Scene): void {
  const { ctx, palette } = surface;
  const { ticks } = scene.model.shop;
  const unit = unitFor(scene.view.camera.scale, 26);
  const hair = 1 / surface.density < 1 ? 0.75 : 1;
  if (scene.tier !== "silhouette" && scene.tier !== "column") {
    ctx.globalAlpha = 0.55;
    ctx.fillStyle = palette.line;
    for (const { minute } of ticks.ticks(unit, scene.start, scene.end)) ctx.fillRect(scene.x(minute), 0, hair, scene.height);
    ctx.globalAlpha = 1;
  }
  ctx.fillStyle = palette.edge;
  ctx.globalAlpha = 0.6;
  const coarse = scene.tier === "column" ? ({ kind: "weeks" } as const) : ({ kind: "days" } as const);
  for (const { minute } of ticks.ticks(coarse, scene.start, scene.end)) ctx.fillRect(scene.x(minute), 0, 1, scene.height);
  ctx.globalAlpha = 1;
}

/** Fixed closures: cross hatch in a frame, the reason on plain ground. */
export function paintClosures(surface: Surface, scene: Scene): void {
  const { model, row } = scene;
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    const entry = model.lanes.list[lane];
    if (entry?.kind !== "machine") continue;
    for (const { start, end, reason } of entry.machine.closures) {
      if (end <= scene.start || start >= scene.end) continue;
      paintMaintenance(surface, scene, scene.x(start), scene.x(end), scene.y(lane) + row.above, row.bar, reason);
    }
  }
}

export function paintMaintenance(
  surface: Surface,
  scene: Scene,
  x: number,
  right: number,
  y: number,
  height: number,
  label: string,
): void {
  const { ctx, palette, patterns, labels } = surface;
  const width = Math.max(1.5, right - x);
  if (scene.tier === "silhouette" || width < 5) {
    ctx.fillStyle = palette.maintenance;
    ctx.globalAlpha = 0.55;
    ctx.fillRect(x, y, width, height);
    ctx.globalAlpha = 1;
    return;
  }
  ctx.translate(x, y);
  ctx.fillStyle = patterns.get("maintenance");
  ctx.fillRect(0, 0, width, height);
  ctx.translate(-x, -y);
  ctx.strokeStyle = palette.maintenance;
  outline(ctx, x, y, width, height, 1);
  const left = Math.max(x, scene.edges.left) + 5;
  const room = Math.min(right, scene.edges.right) - left - 5;
  const text = labels.fitting([label, label.split(" ")[0] ?? ""], room, "label");
  if (text === null) return;
  ctx.fillStyle = palette.maintenanceTint;
  ctx.fillRect(left - 2, y + height / 2 - 8, labels.width(text, "label") + 5, 16);
  labels.draw(ctx, text, left, y + height / 2 + 4, "label", palette.maintenance, null);
}
