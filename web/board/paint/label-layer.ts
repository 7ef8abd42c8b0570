/**
 * Words on bars, drawn above everything else that is long and thin. A label stands on the free upper half over work without people,
 * inside attended work, or - for bars too short to carry it - on the ground beside them, where the next bar leaves room.
 */

import type { Bar, Segment } from "../bar.ts";
import { groundAt } from "../ground.ts";
import type { PlacedBar } from "./bar-layer.ts";
import { lateTag, rushBlock } from "./mark-layer.ts";
import { mixed } from "./palette.ts";
import type { Scene, Surface } from "./surface.ts";

/** Waits shorter than this say nothing. */
const WAIT_WORTH_SAYING = 90;
/** Clear of a label on either side; where a number would have to be cut, it moves closer to its ends. */
const MARGIN = 5;
const MARGIN_TIGHT = 2;

/** `bridged`: over a short break in the work, where a halo keeps the label together. */
type Room = {
  readonly left: number;
  readonly right: number;
  readonly on: "ground" | "work" | "setup";
  readonly bridged?: true;
};
/** Longest break, in pixels, that a label is written over: half an hour where two days are seen. */
const BRIDGE = 11;

export function paintLabels(surface: Surface, scene: Scene, placed: readonly PlacedBar[], skipKey: string | null): void {
  if (scene.tier === "silhouette" || scene.tier === "column") return;
  let from: PlacedBar | null = null;
  for (const place of placed) {
    if (place.bar.key === skipKey || place.bar.trade === "maintenance") from = null;
    else from = paintLabel(surface, scene, place, from);
  }
}

const textsOf = (scene: Scene, bar: Bar): readonly string[] => {
  const { words } = scene.view;
  const held = bar.heldUntil === null ? [] : [`${bar.number} ${words.held(words.short(bar.heldUntil))}`];
  return [...held, bar.title, bar.number];
};

const partOf = ({ number }: Bar): string => number.slice(number.lastIndexOf("/") + 1);

/**
 * `from`: the first of the bars just before this one, in its row and of its order, that had no room for their numbers: they are said
 * together, "2301/30-50". Gives the same for the next bar: null when all is said.
 */
export function paintLabel(surface: Surface, scene: Scene, place: PlacedBar, from: PlacedBar | null = null): PlacedBar | null {
  const { ctx, palette, labels } = surface;
  const { bar, y } = place;
  const chosen = bar.order.id === scene.view.chosenOrder;
  const face = chosen ? "strong" : "label";
  const upper = y + scene.row.bar - scene.row.low - 3;
  const middle = y + scene.row.bar / 2 + 4.5;
  const tag = lateTag(surface, scene, place);
  // Neither the difference of a late order nor the block of a rush order may lie under the label.
  const clear = bar.rush ? scene.x(bar.start) + rushBlock(place) : Number.NEGATIVE_INFINITY;
  const under = tag?.inside ? [[tag.left, tag.left + tag.width] as const] : [];
  const free = beside(
    roomsOf(scene, bar).map((room) => ({ ...room, left: Math.max(room.left, clear) })),
    under,
  );
  const rooms = bar.guilty.length === 0 ? free : besideGuilty(scene, bar, free);
  const before = from !== null && from.lane === place.lane && from.bar.order.id === bar.order.id ? from : null;
  let used: { left: number; right: number } | null = null;
  const inside = (text: string, margin = MARGIN): void => {
    const width = labels.width(text, face);
    for (const room of rooms) {
      if (room.right - room.left < width + 2 * margin - 1) continue;
      const left = room.left + margin;
      const past = bar.start < scene.view.now && left < scene.x(scene.view.now);
      if (room.on === "ground")
        labels.draw(ctx, text, left, upper, face, palette.ink, chosenGround(surface, scene, chosen, left));
      else if (room.on === "setup")
        labels.draw(ctx, text, left, middle, face, palette.ink, bar.trade === "rig" ? palette.rigTint : palette.machineTint);
      else {
        const main = bar.trade === "rig" ? palette.rig : palette.machine;
        const onGuilty =
          bar.guilty.length > 0 && bar.guilty.some(([from, until]) => scene.x(from) < left + width && scene.x(until) > left);
        labels.draw(
          ctx,
          text,
          left,
          middle,
          face,
          bar.trade === "rig" ? palette.onRig : palette.onMachine,
          past || onGuilty || room.bridged || bar.heldUntil !== null ? main : null,
        );
      }
      used = { left, right: left + width };
      return;
    }
  };
  /** Too short to carry its number: it stands beside the bar if the neighbour leaves room. */
  const besideBar = (): boolean => {
    const text = before === null ? bar.number : `${before.bar.number}-${partOf(bar)}`;
    const left = place.right + 5;
    const width = labels.width(text, face);
    if (bar.late > 0 || place.right <= scene.edges.left || left + width + 5 >= Math.min(place.next, scene.edges.right))
      return false;
    labels.draw(ctx, text, left, middle, face, palette.ink2, groundColour(surface, scene, left));
    return true;
  };
  for (const text of textsOf(scene, bar)) if (used === null) inside(text);
  if (used === null) inside(bar.number, MARGIN_TIGHT);
  const said = used !== null || besideBar();
  // Where the order must be guessed, the operation alone is better than nothing.
  if (!said && bar.number.includes("/")) inside(`/${partOf(bar)}`);
  if (scene.tier === "full" || scene.tier === "clock")
    paintWaits(surface, scene, place, used, upper, tag?.inside ? tag.left : scene.edges.right);
  if (scene.tier === "clock") paintClockTimes(surface, scene, place);
  return said ? null : (before ?? place);
}

/** The cross hatch of a guilty stretch is no ground to read on: the pieces beside it come first. */
function besideGuilty(scene: Scene, bar: Bar, rooms: readonly Room[]): readonly Room[] {
  const guilty = bar.guilty.map(([from, until]) => [scene.x(from), scene.x(until)] as const);
  return [...beside(rooms, guilty), ...rooms];
}

/** What stretches leave of rooms: the pieces before and behind them that could hold anything. */
function beside(rooms: readonly Room[], stretches: readonly (readonly [left: number, right: number])[]): readonly Room[] {
  let pieces = rooms;
  for (const [left, right] of stretches)
    pieces = pieces.flatMap((room) =>
      right <= room.left || left >= room.right
        ? [room]
        : [
            { ...room, right: left },
            { ...room, left: right },
          ],
    );
  return stretches.length === 0 ? rooms : pieces.filter((piece) => piece.right - piece.left > 12);
}

/** Places for a label, best first: over stretches without people, inside attended work, then on a setup, then over breaks in the work. */
function roomsOf(scene: Scene, bar: Bar): readonly Room[] {
  const ground: Room[] = [];
  const work: Room[] = [];
  const setup: Room[] = [];
  let open: { left: number; right: number } | null = null;
  const push = (list: Room[], left: number, right: number, on: Room["on"]): void => {
    const from = Math.max(left, scene.edges.left);
    const until = Math.min(right, scene.edges.right);
    if (until - from > 12) list.push({ left: from, right: until, on });
  };
  for (const segment of bar.segments) {
    const left = scene.x(segment.start);
    const right = scene.x(segment.end);
    if (!segment.tall) {
      open = open ? { left: open.left, right } : { left, right };
      continue;
    }
    if (open) push(ground, open.left, open.right, "ground");
    open = null;
    if (segment.look === "setup" || segment.look === "unload" || segment.look === "past") push(setup, left, right, "setup");
    else push(work, left, right, "work");
  }
  if (open) push(ground, open.left, open.right, "ground");
  const bridged: Room[] = [];
  for (const room of work) {
    const last = bridged.at(-1);
    if (last && room.left - last.right <= BRIDGE) bridged[bridged.length - 1] = { ...last, right: room.right, bridged: true };
    else bridged.push(room);
  }
  const wide = (a: Room, b: Room): number => b.right - b.left - (a.right - a.left);
  return [...[...ground, ...work].sort(wide), ...setup.sort(wide), ...bridged.filter((room) => room.bridged)];
}

export const groundColour = ({ palette }: Surface, scene: Scene, x: number): string => {
  const kind = groundAt(scene.model.shop.ground, scene.start + x / scene.view.camera.scale);
  return kind === "day" ? palette.sheet : kind === "night" ? palette.night : palette.closed;
};

/** On the marker the ground is the wash over what lies below it. */
const chosenGround = (surface: Surface, scene: Scene, chosen: boolean, x: number): string => {
  const { palette } = surface;
  const ground = groundColour(surface, scene, x);
  return chosen ? mixed(ground, palette.marker, palette.markerWash) : ground;
};

function paintWaits(
  surface: Surface,
  scene: Scene,
  { bar }: PlacedBar,
  used: { left: number; right: number } | null,
  upper: number,
  limit: number,
): void {
  const { ctx, palette, labels } = surface;
  const { words } = scene.view;
  const told = (segment: Segment): boolean =>
    (segment.look === "waits" || segment.look === "paused") && segment.end - segment.start >= WAIT_WORTH_SAYING;
  for (const segment of bar.segments) {
    if (!told(segment) || segment.end <= scene.start || segment.start >= scene.end) continue;
    const minutes = segment.end - segment.start;
    const text = segment.look === "waits" ? words.waits(words.duration(minutes)) : words.paused(words.duration(minutes));
    const width = labels.width(text, "note");
    const right = Math.min(scene.x(segment.end), scene.edges.right, limit) - 4;
    let left = Math.max(scene.x(segment.start), scene.edges.left) + 4;
    if (used && used.right + 8 > left && used.left < right) left = used.right + 8;
    if (right - left < width) continue;
    const at = Math.min(Math.max(left, scene.x(segment.start) + 4), right - width);
    const chosen = bar.order.id === scene.view.chosenOrder;
    labels.draw(ctx, text, at, upper, "note", chosen ? palette.ink : palette.ink2, chosenGround(surface, scene, chosen, at));
  }
}

/** Clock times at phase edges, at the nearest zoom only. */
function paintClockTimes(surface: Surface, scene: Scene, { bar, y }: PlacedBar): void {
  const { ctx, palette, labels } = surface;
  const { time } = scene.model.shop;
  let last = Number.NEGATIVE_INFINITY;
  for (const minute of [bar.start, ...bar.segments.map(({ end }) => end)]) {
    if (minute < scene.start || minute > scene.end) continue;
    const x = scene.x(minute);
    const text = time.time(minute);
    const width = labels.width(text, "note");
    if (x - width / 2 < last + 4) continue;
    labels.draw(ctx, text, x - width / 2, y + scene.row.bar + 7, "note", palette.ink2, groundColour(surface, scene, x));
    last = x + width / 2;
  }
}
