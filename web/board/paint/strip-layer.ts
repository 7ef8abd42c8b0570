/** The strip under the rows: need as columns, what is there as a step line, what is missing cross-hatched with its number. */
import { type StepFunction, valueAt } from "../../../src/core/calendar/step-function.ts";
import type { Scene, Surface } from "./surface.ts";

const HEAD = 18;
/** Figures of the step line keep so far apart. */
const FIGURE_APART = 34;

export function paintStrip(surface: Surface, scene: Scene): void {
  const { strip, size } = scene.view;
  if (!strip || size.strip === 0) return;
  const { ctx, palette, labels, patterns } = surface;
  const base = size.strip - 6;
  const room = base - HEAD;
  ctx.fillStyle = palette.sheet;
  ctx.fillRect(0, 0, scene.width, size.strip);
  const top = Math.max(1, maxOf(strip.have, scene), maxOf(strip.need, scene));
  const high = (amount: number): number => (amount / top) * room;
  const far = scene.tier === "silhouette" || scene.tier === "column";
  if (far) {
    // Shift changes are finer than a pixel here: what is there becomes an area.
    ctx.fillStyle = palette.line;
    fillArea(ctx, strip.have, scene, base, high);
  }
  // Need: the largest amount within each two pixels, so that nothing thin is lost.
  ctx.fillStyle = palette.held;
  ctx.globalAlpha = 0.62;
  const step = 2;
  if (far) fillArea(ctx, strip.need, scene, base, high);
  else
    eachColumn(strip.need, scene, step, (x, amount) => {
      if (amount > 0) ctx.fillRect(x, base - high(amount), step - 0.4, high(amount));
    });
  ctx.globalAlpha = 1;
  // Missing: from what there is up to what is needed. Numbers closer than a balloon merge.
  const balloons: { x: number; y: number; numbers: number[] }[] = [];
  for (const { interval, amount, number } of strip.short) {
    const x = Math.max(0, scene.x(interval[0]));
    const right = Math.min(scene.width, scene.x(interval[1]));
    if (right <= 0 || x >= scene.width) continue;
    const width = Math.max(3, right - x);
    const height = Math.max(7, high(amount));
    const from = base - Math.max(height, high(valueAt(strip.need, Math.max(interval[0], Math.floor(scene.start)))));
    ctx.translate(x, from);
    ctx.fillStyle = patterns.get("short");
    ctx.fillRect(0, 0, width, height);
    ctx.translate(-x, -from);
    const near = balloons.find((other) => Math.abs(other.x - x) < 22);
    if (near) near.numbers.push(number);
    else balloons.push({ x, y: Math.max(2, from - 17), numbers: [number] });
  }
  if (far) {
    paintNumbers(surface, balloons);
    paintEdges(surface, scene, base);
    return;
  }
  // What is there.
  ctx.strokeStyle = palette.ink;
  ctx.lineWidth = 1.75;
  ctx.beginPath();
  const { at, value } = strip.have;
  let level = valueAt(strip.have, Math.floor(scene.start));
  ctx.moveTo(0, base - high(level));
  let lastText = 0;
  // The first figure stands at the edge, unless the level changes right behind it.
  const soon = strip.have.at.find((minute) => minute > scene.start);
  const stays = soon === undefined || scene.x(soon) > FIGURE_APART;
  const figures: { x: number; text: string; y: number }[] = stays
    ? [{ x: 4, text: figure(level, strip.scale), y: base - high(level) }]
    : [];
  if (!stays) lastText = -FIGURE_APART;
  for (let i = 0; i < at.length; i++) {
    const minute = at[i] as number;
    if (minute <= scene.start) continue;
    if (minute > scene.end) break;
    const x = scene.x(minute);
    ctx.lineTo(x, base - high(level));
    level = value[i] as number;
    ctx.lineTo(x, base - high(level));
    if (x - lastText > FIGURE_APART && level > 0) {
      figures.push({ x: x + 4, text: figure(level, strip.scale), y: base - high(level) });
      lastText = x;
    }
  }
  ctx.lineTo(scene.width, base - high(level));
  ctx.stroke();
  for (const { x, text, y } of figures) if (text !== "0") labels.draw(ctx, text, x, y - 4, "value", palette.ink, palette.sheet);
  paintNumbers(surface, balloons);
  paintEdges(surface, scene, base);
}

function paintNumbers(
  { ctx, palette, labels }: Surface,
  balloons: readonly { readonly x: number; readonly y: number; readonly numbers: readonly number[] }[],
): void {
  for (const { x, y, numbers } of balloons) {
    const text = numbers.length > 1 ? `${numbers[0]}+${numbers.length - 1}` : `${numbers[0]}`;
    const half = Math.max(7.5, labels.width(text, "value") / 2 + 4);
    const middle = Math.max(half + 1, x);
    ctx.fillStyle = palette.bad;
    ctx.beginPath();
    ctx.roundRect(middle - half, y, half * 2, 15, 7.5);
    ctx.fill();
    labels.draw(ctx, text, middle - labels.width(text, "value") / 2, y + 11.5, "value", palette.onBad, null);
  }
}

function paintEdges({ ctx, palette }: Surface, scene: Scene, base: number): void {
  ctx.fillStyle = palette.edge;
  ctx.fillRect(0, 0, scene.width, 1);
  ctx.fillRect(0, base, scene.width, 1);
}

const figure = (amount: number, scale: number): string => String(Math.round((amount / scale) * 10) / 10);

function maxOf(steps: StepFunction, scene: Scene): number {
  let most = valueAt(steps, Math.floor(scene.start));
  for (let i = firstAfter(steps.at, scene.start); i < steps.at.length && (steps.at[i] as number) < scene.end; i++)
    most = Math.max(most, steps.value[i] as number);
  return most;
}

function firstAfter(at: readonly number[], minute: number): number {
  let low = 0;
  let high = at.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((at[middle] as number) > minute) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Columns without gaps as one outline: hundreds of them in one stroke of the brush. */
function fillArea(
  ctx: CanvasRenderingContext2D,
  steps: StepFunction,
  scene: Scene,
  base: number,
  high: (amount: number) => number,
): void {
  let level = 0;
  ctx.beginPath();
  ctx.moveTo(0, base);
  eachColumn(steps, scene, 2, (x, amount) => {
    if (amount === level) return;
    ctx.lineTo(x, base - high(level));
    level = amount;
    ctx.lineTo(x, base - high(level));
  });
  ctx.lineTo(scene.width, base - high(level));
  ctx.lineTo(scene.width, base);
  ctx.fill();
}

function eachColumn(steps: StepFunction, scene: Scene, step: number, paint: (x: number, amount: number) => void): void {
  let i = firstAfter(steps.at, scene.start);
  let level = i === 0 ? 0 : (steps.value[i - 1] as number);
  for (let x = 0; x < scene.width; x += step) {
    const until = scene.start + (x + step) / scene.view.camera.scale;
    let most = level;
    while (i < steps.at.length && (steps.at[i] as number) < until) {
      level = steps.value[i] as number;
      most = Math.max(most, level);
      i++;
    }
    paint(x, most);
  }
}

/** Words beside the strip, in the names column. */
export function paintStripHead(surface: Surface, scene: Scene): void {
  const { strip, size } = scene.view;
  if (!strip || size.strip === 0) return;
  const { ctx, palette, labels } = surface;
  ctx.fillStyle = palette.panel;
  ctx.fillRect(0, 0, size.names, size.strip);
  labels.draw(ctx, strip.title, 10, 20, "value", palette.ink, null);
  for (const [i, note] of strip.notes.entries()) labels.draw(ctx, note, 10, 38 + i * 16, "note", palette.ink2, null);
  ctx.fillStyle = palette.edge;
  ctx.fillRect(0, 0, size.names, 1);
  ctx.fillRect(size.names - 1, 0, 1, size.strip);
}
