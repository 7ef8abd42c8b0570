/** The farthest zoom: one column per machine and day. From the base up: unattended, attended (with a cap line), waiting hollow; trouble as counts. */
import { dayMarksOf, MARK_ROOM } from "../day-marks.ts";
import { daySharesOf } from "../day-shares.ts";
import type { Scene, Surface } from "./surface.ts";

export function paintColumns(surface: Surface, scene: Scene): void {
  const { ctx, palette } = surface;
  const { model, row } = scene;
  const { ticks } = model.shop;
  const days = ticks.ticks({ kind: "days" }, scene.start - 1440, scene.end);
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    const entry = model.lanes.list[lane];
    if (!entry || entry.kind === "group") continue;
    const shares = daySharesOf(model, lane);
    const rig = entry.kind === "machine" && entry.machine.kind === "rig";
    const main = rig ? palette.rig : palette.machine;
    const tint = rig ? palette.rigTint : palette.machineTint;
    const base = scene.y(lane) + row.above + row.bar;
    for (const { minute, day } of days) {
      const share = shares.get(day);
      if (!share) continue;
      const x = scene.x(minute);
      const width = Math.max(1, scene.x(ticks.dayStart(day + 1)) - x - 1);
      const whole = ticks.dayStart(day + 1) - minute;
      const high = (minutes: number): number => (minutes / whole) * row.bar;
      let y = base;
      const un = high(share.unattended);
      ctx.fillStyle = tint;
      ctx.fillRect(x, y - un, width, un);
      ctx.fillStyle = main;
      ctx.fillRect(x, y - un, width, Math.min(1.5, un));
      y -= un;
      const at = high(share.attended);
      ctx.fillRect(x, y - at, width, at);
      y -= at;
      const wait = high(share.waiting);
      if (wait > 1) {
        ctx.globalAlpha = 0.3;
        ctx.fillStyle = palette.held;
        ctx.fillRect(x, y - wait, width, wait);
        ctx.globalAlpha = 1;
        ctx.fillRect(x, y - wait, width, 1);
      }
    }
    for (const { minute, conflicts, late } of dayMarksOf(model, lane, scene.view.camera.scale)) {
      const x = scene.x(minute);
      if (x < -MARK_ROOM || x > scene.width) continue;
      if (conflicts > 0) balloon(surface, x, base - row.bar, `${conflicts}`, palette.bad, palette.onBad);
      if (late > 0) balloon(surface, x + (conflicts > 0 ? 16 : 0), base - row.bar, `▾${late}`, palette.warn, palette.sheet);
    }
  }
}

function balloon({ ctx, labels }: Surface, x: number, y: number, text: string, ground: string, ink: string): void {
  const half = Math.max(7, labels.width(text, "value") / 2 + 3.5);
  ctx.fillStyle = ground;
  ctx.beginPath();
  ctx.roundRect(x - 1, y - 4, half * 2, 14, 7);
  ctx.fill();
  labels.draw(ctx, text, x - 1 + half - labels.width(text, "value") / 2, y + 7, "value", ink, null);
}
