/** The axis: days above, clock times below, the shifts and the frozen bracket, and now. Painted in its own strip over the rows. */
import { type Tick, type TickUnit, unitAbove, unitFor } from "../ticks.ts";
import { eachSpan } from "./ground-layer.ts";
import type { Scene, Surface } from "./surface.ts";

/** Baselines from the top of the axis. */
const UPPER = 15;
const LOWER = 31;
const STRIP_TOP = 37;
const STRIP_BASE = 51;

export function paintAxis(surface: Surface, scene: Scene): void {
  const { ctx, palette, labels } = surface;
  const { camera, size } = scene.view;
  const { ticks } = scene.model.shop;
  ctx.fillStyle = palette.panel;
  ctx.fillRect(0, 0, scene.width, size.axis);
  const unit = unitFor(camera.scale, 34, 66, 48);
  const nowAt = scene.x(scene.view.now);
  const nowHalf = labels.width(scene.view.words.now(scene.model.shop.time.time(scene.view.now)), "value") / 2 + 8;
  const above = unitAbove(unit);
  // Shifts first, so that marks stand on them.
  paintShifts(surface, scene);
  for (const tick of ticks.ticks(unit, scene.start - 1440, scene.end)) {
    const x = scene.x(tick.minute);
    ctx.fillStyle = palette.edge;
    ctx.fillRect(x, STRIP_TOP - 4, 1, 4);
    const text = tickText(unit, tick, scene);
    const width = labels.width(text, "axis");
    const left = unit.kind === "minutes" ? x - width / 2 : x + 4;
    const underNow = left + width > nowAt - nowHalf && left < nowAt + nowHalf;
    if (left > -width && left < scene.width && !underNow && unit.kind !== "months")
      labels.draw(ctx, text, left, LOWER, "axis", palette.ink2, null);
  }
  const taken: (readonly [number, number])[] = [];
  const names: (() => void)[] = [];
  const uppers = [
    ...ticks.ticks(above, scene.start - (above.kind === "months" ? 32 : above.kind === "weeks" ? 8 : 2) * 1440, scene.end),
  ];
  uppers.forEach((tick, i) => {
    const x = scene.x(tick.minute);
    const following = uppers[i + 1];
    const end = following ? scene.x(following.minute) : scene.width;
    if (end <= 0) return;
    const text = upperText(above, tick, scene);
    const width = labels.width(text, "axisStrong");
    const left = Math.min(Math.max(x + 6, 6), end - width - 6);
    // A cut name reads as another one: better none for the few pixels.
    if (left < 2) return;
    taken.push([left - 6, left + width + 8]);
    names.push(() => labels.draw(ctx, text, left, UPPER, "axisStrong", palette.ink, palette.panel));
    if (x >= 0) {
      ctx.fillStyle = palette.edge;
      ctx.fillRect(x, 2, 1, STRIP_TOP - 2);
    }
  });
  paintFreeze(surface, scene, taken);
  for (const name of names) name();
  ctx.fillStyle = palette.edge;
  ctx.fillRect(0, size.axis - 1, scene.width, 1);
}

function tickText(unit: TickUnit, tick: Tick, scene: Scene): string {
  const { words } = scene.view;
  if (unit.kind === "minutes") return unit.step >= 60 ? words.clockTime(tick.shown).slice(0, 2) : words.clockTime(tick.shown);
  if (unit.kind === "days") return words.dayName(tick.day);
  return unit.kind === "weeks" ? words.weekName(tick.day) : words.monthName(tick.day);
}

function upperText(unit: TickUnit, tick: Tick, scene: Scene): string {
  const { words } = scene.view;
  if (unit.kind === "days") return words.dayName(tick.day);
  return unit.kind === "weeks" ? words.weekName(tick.day) : words.monthName(tick.day);
}

function paintShifts(surface: Surface, scene: Scene): void {
  const { ctx, palette, patterns, labels } = surface;
  const { words, size } = scene.view;
  const { ground } = scene.model.shop;
  const top = STRIP_TOP;
  const height = size.axis - STRIP_TOP;
  ctx.fillStyle = palette.sheet;
  ctx.fillRect(0, top, scene.width, height);
  ctx.fillStyle = palette.night;
  eachSpan(ground.night, scene, (x, width) => ctx.fillRect(x, top, width, height));
  eachSpan(ground.closed, scene, (x, width) => {
    ctx.fillStyle = palette.closed;
    ctx.fillRect(x, top, width, height);
    ctx.fillStyle = patterns.get("closed");
    ctx.fillRect(x, top, width, height);
  });
  const say = (x: number, width: number, texts: readonly string[], colour: string, halo: string): void => {
    const text = labels.fitting(texts, width - 10, "axis");
    if (text !== null) labels.draw(ctx, text, x + 6, STRIP_BASE, "axis", colour, halo);
  };
  const perHour = scene.view.camera.scale * 60;
  if (perHour >= 4) {
    eachSpan(ground.night, scene, (x, width) =>
      say(x, width, [words.night, words.night.split(",")[0] ?? ""], palette.ink2, palette.night),
    );
    for (const { start, end, names, people } of ground.shifts) {
      if (end <= scene.start || start >= scene.end) continue;
      const x = Math.max(0, scene.x(start));
      const right = Math.min(scene.width, scene.x(end));
      ctx.fillStyle = palette.line;
      ctx.fillRect(x, top, 1, height);
      const amount = words.people(people);
      say(
        x,
        right - x,
        [words.shift(names, amount), words.shift(names.slice(0, 1), amount), names[0] ?? "", amount],
        palette.ink,
        palette.sheet,
      );
    }
  }
  if (perHour >= 1) eachSpan(ground.closed, scene, (x, width) => say(x, width, [words.closed], palette.ink2, palette.closed));
}

/** Bracket with a padlock from now to the freeze time; its words stand in the widest gap that the names of days leave. */
function paintFreeze(surface: Surface, scene: Scene, taken: readonly (readonly [number, number])[]): void {
  const { ctx, palette, labels } = surface;
  const { freeze } = scene.model.shop.problem;
  if (freeze === null || freeze <= scene.view.now) return;
  const x = scene.x(scene.view.now);
  const right = scene.x(freeze);
  if (right < 0 || x > scene.width || scene.tier === "column") return;
  const y = 7.5;
  ctx.fillStyle = palette.ink;
  const from = Math.max(0, x);
  const until = Math.min(scene.width, right);
  ctx.fillRect(from, y, until - from, 1.5);
  if (x >= 0) ctx.fillRect(x - 0.75, y - 4, 1.5, 9);
  if (right <= scene.width) ctx.fillRect(right - 0.75, y - 4, 1.5, 9);
  const text = scene.view.words.frozenUntil(scene.view.words.short(freeze));
  const width = labels.width(text, "axis") + 20;
  let gap: readonly [number, number] = [from, from];
  let at = from + 4;
  for (const [left, right] of [...taken.filter(([left, right]) => right > from && left < until), [until, until] as const]) {
    if (left - at > gap[1] - gap[0]) gap = [at, left];
    at = Math.max(at, right);
  }
  if (gap[1] - gap[0] < width + 8) {
    if (gap[1] - gap[0] > 18) padlock(surface, (gap[0] + gap[1]) / 2 - 5, y - 5);
    return;
  }
  const left = (gap[0] + gap[1] - width) / 2;
  ctx.fillStyle = palette.panel;
  ctx.fillRect(left - 3, 0, width + 4, 16);
  padlock(surface, left, y - 5);
  labels.draw(ctx, text, left + 15, 12, "axis", palette.ink, null);
}

function padlock({ ctx, palette }: Surface, x: number, y: number): void {
  ctx.fillStyle = palette.panel;
  ctx.fillRect(x - 2, y - 1, 14, 13);
  ctx.fillStyle = palette.ink;
  ctx.fillRect(x, y + 4, 10, 7);
  ctx.strokeStyle = palette.ink;
  ctx.lineWidth = 1.6;
  ctx.beginPath();
  ctx.arc(x + 5, y + 4, 3, Math.PI, 0);
  ctx.stroke();
}

/** Now and the freeze line through the rows. */
export function paintNowLine(surface: Surface, scene: Scene): void {
  const { ctx, palette } = surface;
  const { freeze } = scene.model.shop.problem;
  if (freeze !== null && freeze > scene.view.now && scene.tier !== "column") {
    const x = scene.x(freeze);
    if (x >= 0 && x <= scene.width) {
      ctx.fillStyle = palette.edge;
      ctx.fillRect(x - 2, 0, 1, scene.height);
      ctx.fillRect(x + 1, 0, 1, scene.height);
    }
  }
  const x = scene.x(scene.view.now);
  if (x < 0 || x > scene.width) return;
  ctx.fillStyle = palette.ink;
  ctx.fillRect(x - 1, 0, 2, scene.height);
}

export function paintNowTag(surface: Surface, scene: Scene): void {
  const { ctx, palette, labels } = surface;
  const x = scene.x(scene.view.now);
  if (x < 0 || x > scene.width) return;
  const text = scene.view.words.now(scene.model.shop.time.time(scene.view.now));
  const width = labels.width(text, "value") + 12;
  const left = Math.min(Math.max(0, x - width / 2), scene.width - width);
  ctx.fillStyle = palette.ink;
  ctx.fillRect(left, 19, width, 17);
  ctx.fillRect(x - 1, 19, 2, scene.view.size.axis - 19);
  labels.draw(ctx, text, left + 6, 31.5, "value", palette.sheet, null);
}
