/**
 * Marks on bars: chosen, phantom, conflict, late, rush, pin, frozen feet, focus. Shape and gap carry them, never hue alone.
 * On one bar at most one mark is drawn on each of its sides: chosen wash under it, conflict around it, rush on top, late below,
 * pin and feet at the base; the panel says everything. Balloons keep clear of each other and merge with a count when they cannot.
 */
import type { Bar } from "../bar.ts";
import type { PlacedBar } from "./bar-layer.ts";
import { cutLeft, outline, type Scene, type Surface } from "./surface.ts";

export function paintChosen(surface: Surface, scene: Scene, placed: readonly PlacedBar[]): void {
  const { ctx, palette } = surface;
  const { chosenOrder } = scene.view;
  if (chosenOrder === null) return;
  for (const { bar, x, right, y } of placed) {
    if (bar.order.id !== chosenOrder) continue;
    const left = Math.max(x - 2.5, -20);
    const width = Math.min(right + 2.5, scene.width + 20) - left;
    ctx.globalAlpha = palette.markerWash;
    ctx.fillStyle = palette.marker;
    ctx.fillRect(left, y - 2.5, width, scene.row.bar + 5);
    ctx.globalAlpha = 1;
    ctx.strokeStyle = palette.ink;
    outline(ctx, left, y - 2.5, width, scene.row.bar + 5, 1);
  }
}

export function paintPhantoms(surface: Surface, scene: Scene): void {
  const { ctx, palette, labels } = surface;
  ctx.strokeStyle = palette.ghost;
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    const y = scene.y(lane) + scene.row.above;
    for (const phantom of scene.model.phantomsOnLane[lane] ?? []) {
      if (phantom.end <= scene.start || phantom.start >= scene.end) continue;
      const x = Math.max(scene.x(phantom.start), -40);
      const right = Math.min(scene.x(phantom.end), scene.width + 40);
      ctx.setLineDash([9, 3, 1.75, 3, 1.75, 3]);
      ctx.lineWidth = 1.5;
      ctx.strokeRect(x + 0.75, y + 0.75, Math.max(2, right - x - 1.5), scene.row.bar - 1.5);
      ctx.setLineDash([]);
      if (scene.tier !== "full" && scene.tier !== "clock") continue;
      const left = Math.max(x, scene.edges.left) + 5;
      const number = phantom.operation.id;
      const text = labels.fitting(
        [scene.view.words.publishedHere(number), number],
        Math.min(right, scene.edges.right) - left - 4,
        "note",
      );
      if (text !== null && !covered(scene, lane, left, left + labels.width(text, "note"))) {
        labels.draw(ctx, text, left, y + scene.row.bar / 2 + 4, "note", palette.ghost, palette.sheet);
      }
    }
  }
}

function covered(scene: Scene, lane: number, left: number, right: number): boolean {
  return (scene.model.onLane[lane]?.bars ?? []).some((bar) => scene.x(bar.start) < right && scene.x(bar.end) > left);
}

export function paintBarMarks(surface: Surface, scene: Scene, placed: readonly PlacedBar[]): void {
  for (const place of placed) {
    const { bar } = place;
    if (bar.heldUntil !== null) paintHeld(surface, scene, place);
    if (bar.rush) paintRush(surface, scene, place);
    if (bar.late > 0) paintDueLine(surface, scene, place);
    if (bar.frozen) paintFeet(surface, scene, place);
    if (bar.conflicts.length > 0) paintConflictFrame(surface, scene, place.x, place.right, place.y, bar);
    // A held slot is pinned by being held: one mark says both.
    if (bar.heldUntil !== null) paintHourglass(surface, scene, place);
    else if (bar.pinned) paintPin(surface, scene, place);
  }
}

/** A slot that is only held: the bar stands back behind a frame of dots. */
function paintHeld({ ctx, palette }: Surface, scene: Scene, { x, right, y }: PlacedBar): void {
  const left = Math.max(x, -20);
  const width = Math.min(right, scene.width + 20) - left;
  if (width <= 0) return;
  ctx.globalAlpha = HELD_WASH;
  ctx.fillStyle = palette.sheet;
  ctx.fillRect(left, y, width, scene.row.bar);
  ctx.globalAlpha = 1;
  if (scene.tier === "silhouette") return;
  ctx.strokeStyle = palette.ink;
  ctx.lineWidth = 2;
  ctx.setLineDash([2, 3]);
  ctx.strokeRect(left + 1, y + 1, Math.max(1, width - 2), scene.row.bar - 2);
  ctx.setLineDash([]);
}

const HELD_WASH = 0.45;

/** An hourglass at the start, where a pin would be. */
function paintHourglass({ ctx, palette }: Surface, scene: Scene, { x, y }: PlacedBar): void {
  if (scene.tier === "silhouette" || scene.tier === "flat") return;
  const top = y + scene.row.bar - 7;
  ctx.fillStyle = palette.sheet;
  ctx.fillRect(x - 6, top - 1, 12, 14);
  ctx.fillStyle = palette.ink;
  ctx.fillRect(x - 5, top, 10, 1.75);
  ctx.fillRect(x - 5, top + 10.25, 10, 1.75);
  ctx.beginPath();
  ctx.moveTo(x - 4, top + 1);
  ctx.lineTo(x + 4, top + 1);
  ctx.lineTo(x - 4, top + 11);
  ctx.lineTo(x + 4, top + 11);
  ctx.closePath();
  ctx.fill();
}

/** A gap, a red frame with a saw-tooth top, and the guilty stretch cross-hatched. */
export function paintConflictFrame(
  surface: Surface,
  scene: Scene,
  x: number,
  right: number,
  y: number,
  bar: Pick<Bar, "guilty">,
): void {
  const { ctx, palette, patterns } = surface;
  const left = Math.max(x, -30);
  const end = Math.max(Math.min(right, scene.width + 30), left + 3);
  const { bar: height } = scene.row;
  for (const [from, until] of bar.guilty) {
    const gx = cutLeft(scene.x(from));
    const width = Math.min(scene.x(until), end) - gx;
    if (width <= 0) continue;
    ctx.translate(gx, y);
    ctx.fillStyle = patterns.get("guilty");
    ctx.fillRect(0, 0, Math.max(2, width), height);
    ctx.translate(-gx, -y);
  }
  ctx.strokeStyle = palette.sheet;
  ctx.lineWidth = 2;
  ctx.strokeRect(left - 1, y - 1, end - left + 2, height + 2);
  ctx.strokeStyle = palette.bad;
  ctx.lineWidth = 2;
  ctx.beginPath();
  const l = left - 3;
  const r = end + 3;
  const t = y - 2;
  const b = y + height + 3;
  ctx.moveTo(l, t);
  ctx.lineTo(l, b);
  ctx.lineTo(r, b);
  ctx.lineTo(r, t);
  // Teeth are those of the whole bar, so that they stay where they are while it moves past the edge.
  const whole = Math.max(3, right - x) + 6;
  const tooth = whole / Math.max(1, Math.round(whole / 6));
  for (let at = r; at > l + 1; ) {
    const next = Math.max(l, x - 3 + (Math.ceil((at - x + 3) / tooth - 0.01) - 1) * tooth);
    ctx.lineTo((at + next) / 2, t - 3.5);
    ctx.lineTo(next, t);
    at = next;
  }
  ctx.stroke();
}

/** Width of the block with two chevrons at the start of a rush bar; on a bar of little room, of one. */
const RUSH_BLOCK = 13;
const RUSH_BLOCK_SHORT = 8;
const RUSH_LIFT = 4;
/** Below this many pixels the marks of a bar make room for each other. */
const LITTLE_ROOM = 44;

const isNarrow = ({ x, right }: Pick<PlacedBar, "x" | "right">): boolean => right - x < LITTLE_ROOM;
export const rushBlock = (place: Pick<PlacedBar, "x" | "right">): number => (isNarrow(place) ? RUSH_BLOCK_SHORT : RUSH_BLOCK);

function paintRush({ ctx, palette }: Surface, scene: Scene, place: PlacedBar): void {
  const { x, right, y } = place;
  const block = rushBlock(place);
  const left = Math.max(x, 0);
  const width = Math.min(right, scene.width) - left;
  if (right <= 0 || x >= scene.width) return;
  ctx.fillStyle = palette.rush;
  // Clear of the halo of a label on the upper half, which would bite into it.
  ctx.fillRect(left, y - RUSH_LIFT, width, 2);
  if (x < -block || right - x < block || scene.tier === "silhouette") return;
  ctx.fillRect(x, y - RUSH_LIFT, block, 11);
  ctx.strokeStyle = palette.onRush;
  ctx.lineWidth = 1.6;
  ctx.beginPath();
  for (const shift of block === RUSH_BLOCK ? [3, 7] : [2.5]) {
    ctx.moveTo(x + shift, y - RUSH_LIFT + 2.5);
    ctx.lineTo(x + shift + 3, y - RUSH_LIFT + 5.5);
    ctx.lineTo(x + shift, y - RUSH_LIFT + 8.5);
  }
  ctx.stroke();
}

/** Two feet under a bar that is clamped; one where there is little room, and at the far end where a pin stands at the start. */
function paintFeet({ ctx, palette }: Surface, scene: Scene, place: PlacedBar): void {
  const { bar, x, right, y } = place;
  if (scene.tier === "silhouette" || right - x < 8) return;
  ctx.fillStyle = palette.ink;
  const base = y + scene.row.bar;
  const far = right - 8;
  for (const foot of bar.pinned ? [far] : isNarrow(place) ? [x + (right - x) / 2 - 3] : [x + 2, far]) {
    ctx.fillRect(foot, base, 6, 1.75);
    ctx.fillRect(foot + 2, base, 2, 3.5);
  }
}

function paintPin({ ctx, palette }: Surface, scene: Scene, { x, y }: PlacedBar): void {
  if (scene.tier === "silhouette") return;
  const cy = y + scene.row.bar;
  ctx.beginPath();
  ctx.arc(x, cy, 5, 0, Math.PI * 2);
  ctx.fillStyle = palette.sheet;
  ctx.fill();
  ctx.lineWidth = 1.75;
  ctx.strokeStyle = palette.ink;
  ctx.stroke();
  ctx.beginPath();
  ctx.arc(x, cy, 2.2, 0, Math.PI * 2);
  ctx.fillStyle = palette.ink;
  ctx.fill();
}

/** Where the difference of a late order is written: outside if there is room, else inside the upper half; null: nowhere. */
export function lateTag(
  { labels }: Surface,
  scene: Scene,
  { bar, right, next }: PlacedBar,
): { readonly left: number; readonly width: number; readonly text: string; readonly inside: boolean } | null {
  if (bar.late <= 0 || scene.tier === "silhouette") return null;
  const text = `+${scene.view.words.duration(bar.late)}`;
  const width = labels.width(text, "value") + 8;
  if (right + 4 + width < Math.min(next, scene.edges.right)) return { left: right + 4, width, text, inside: false };
  // Over a stretch where the machine runs alone the upper half is free; over the last hour with people it would hide that hour.
  const low = bar.segments.findLast(
    (segment) =>
      !segment.tall &&
      Math.min(scene.x(segment.end), scene.edges.right) - Math.max(scene.x(segment.start), scene.edges.left) > width + 6,
  );
  if (low) return { left: Math.min(scene.x(low.end), scene.edges.right) - width - 3, width, text, inside: true };
  const left = Math.min(right, scene.edges.right) - width - 3;
  if (left > Math.max(scene.edges.left, scene.x(bar.start)) + 2) return { left, width, text, inside: true };
  return scene.tier === "flat" ? null : { left: right + 4, width, text, inside: false };
}

/** Also of late work that lies beyond the right edge while its due minute does not. */
export function paintDueLines(surface: Surface, scene: Scene, beyond: readonly PlacedBar[]): void {
  for (const place of beyond) paintDueLine(surface, scene, place);
}

/** The line at the due minute goes under the labels; its triangle and the difference stay above them. */
function paintDueLine({ ctx, palette }: Surface, scene: Scene, { bar, y }: PlacedBar): void {
  const { due } = bar.order;
  if (due === null || due < scene.start) return;
  ctx.fillStyle = palette.warn;
  ctx.fillRect(Math.max(scene.x(due), -8) - 0.75, y - 1, 1.5, scene.row.bar + 3);
}

/** Due times and differences lie above the labels: they must not be lost under a halo. */
export function paintLateMarks(surface: Surface, scene: Scene, placed: readonly PlacedBar[]): void {
  for (const place of placed) if (place.bar.late > 0) paintLate(surface, scene, place);
}

/** A dimension line from the due minute to the end, with a triangle, an end tick and the difference. */
function paintLate(surface: Surface, scene: Scene, place: PlacedBar): void {
  const { bar, right, y } = place;
  const { ctx, palette, labels } = surface;
  const due = bar.order.due;
  if (due === null) return;
  const x = Math.max(scene.x(due), -8);
  const base = y + scene.row.bar + 2;
  ctx.fillStyle = palette.warn;
  ctx.fillRect(x, base - 1, Math.max(2, Math.min(right, scene.width + 8) - x), 2);
  ctx.fillRect(right - 1, base - 6, 2, 9);
  if (due >= scene.start) {
    ctx.beginPath();
    ctx.moveTo(x - 4, y - 3);
    ctx.lineTo(x + 4, y - 3);
    ctx.lineTo(x, y + 3);
    ctx.fill();
  }
  const tag = lateTag(surface, scene, place);
  if (!tag) return;
  const top = tag.inside ? y + 1 : y + scene.row.bar - 16;
  ctx.fillStyle = palette.warnTint;
  ctx.fillRect(tag.left, top, tag.width, 15);
  labels.draw(ctx, tag.text, tag.left + 4, top + 11.5, "value", palette.warn, null);
}

export function paintFocus({ ctx, palette }: Surface, scene: Scene, placed: readonly PlacedBar[]): void {
  const { focusKey } = scene.view;
  if (focusKey === null) return;
  for (const { bar, x, right, y } of placed) {
    if (bar.key !== focusKey) continue;
    const left = Math.max(x, -30);
    const width = Math.min(right, scene.width + 30) - left;
    if (bar.conflicts.length > 0) {
      // The red frame and its teeth stay whole: focus goes around them.
      ctx.strokeStyle = palette.ink;
      ctx.lineWidth = 2;
      ctx.strokeRect(left - 7, y - 8, width + 14, scene.row.bar + 15);
      continue;
    }
    ctx.strokeStyle = palette.sheet;
    ctx.lineWidth = 4.5;
    ctx.strokeRect(left - 3.5, y - 3.5, width + 7, scene.row.bar + 7);
    ctx.strokeStyle = palette.ink;
    ctx.lineWidth = 2;
    ctx.strokeRect(left - 4, y - 4, width + 8, scene.row.bar + 8);
  }
}

/** Numbers of the conflict list at the start of each guilty stretch; close ones become "3+2". */
export function paintBalloons(surface: Surface, scene: Scene, placed: readonly PlacedBar[]): void {
  const { ctx, palette, labels } = surface;
  const list = scene.model.conflicts.placed;
  const balloons: { x: number; y: number; numbers: number[] }[] = [];
  // Bars come row by row; only balloons of the same row can meet.
  let rowFrom = 0;
  for (const { bar, x, y } of placed) {
    if (y !== balloons[rowFrom]?.y) rowFrom = balloons.length;
    for (const index of bar.conflicts) {
      const entry = list[index];
      if (!entry) continue;
      const at = Math.max(scene.x(Math.max(bar.start, Math.min(bar.end, entry.conflict.interval[0]))), x, scene.edges.left) - 4;
      const near = balloons.slice(rowFrom).find((other) => Math.abs(other.x - at) < 17);
      if (near) {
        if (!near.numbers.includes(entry.number)) near.numbers.push(entry.number);
      } else balloons.push({ x: at, y, numbers: [entry.number] });
    }
  }
  for (const { x, y, numbers } of balloons) {
    const text =
      numbers.length === 1
        ? String(numbers[0])
        : numbers.length === 2
          ? numbers.join(" ")
          : `${numbers[0]}+${numbers.length - 1}`;
    const half = Math.max(7.5, labels.width(text, "value") / 2 + 4);
    ctx.fillStyle = palette.bad;
    ctx.strokeStyle = palette.sheet;
    ctx.lineWidth = 1.75;
    ctx.beginPath();
    ctx.roundRect(x - half, y - 8.5, half * 2, 15, 7.5);
    ctx.fill();
    ctx.stroke();
    labels.draw(ctx, text, x - labels.width(text, "value") / 2, y + 3, "value", palette.onBad, null);
  }
}
