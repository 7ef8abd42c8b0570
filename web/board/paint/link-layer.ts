/**
 * Links of the chosen order in ink with a halo; broken ones of any order red, dashed, pointing back. Labels are painted over them. A link
 * to a row outside the view does not cross every row on its way there: it ends in a short arrow that says where it leads.
 */
import type { Bar } from "../bar.ts";
import type { BoardModel } from "../board-model.ts";
import { barsBetween, linkRoute, type Point } from "../link-route.ts";
import { groundColour } from "./label-layer.ts";
import type { Scene, Surface } from "./surface.ts";

const BROKEN = new Set(["lagShort", "lagLong", "transferEarly", "otherMachine"]);

type Drawn = { readonly from: Bar; readonly to: Bar; readonly broken: boolean };

/** Which links are drawn changes with the choice, not with the view: walking over all links and bars in each frame is too dear. */
const remembered = new WeakMap<BoardModel, { readonly order: string | null; readonly links: readonly Drawn[] }>();

export function paintLinks(surface: Surface, scene: Scene): void {
  const { model, view } = scene;
  const order = view.showLinks ? view.chosenOrder : null;
  let known = remembered.get(model);
  if (known?.order !== order) {
    known = { order, links: drawnLinks(model, order) };
    remembered.set(model, known);
  }
  for (const { from, to, broken } of known.links) {
    if (!inSight(scene, from, to)) continue;
    const colour = broken ? surface.palette.bad : surface.palette.ink;
    const [fromSeen, toSeen] = [isRowSeen(scene, from), isRowSeen(scene, to)];
    if (fromSeen && toSeen) stroke(surface, routeOf(scene, from, to), colour, broken);
    else if (fromSeen) paintAway(surface, scene, { bar: from, other: to, after: true }, colour, broken);
    else if (toSeen) paintAway(surface, scene, { bar: to, other: from, after: false }, colour, broken);
  }
}

/** A piece of a picture that moves (sheet.ts) knows no view: there every row is seen. */
function isRowSeen(scene: Scene, bar: Bar): boolean {
  if (scene.edges.left === Number.NEGATIVE_INFINITY) return true;
  const middle = middleOf(scene, bar.lanes[0] ?? 0);
  return middle > 0 && middle < scene.height;
}

const middleOf = (scene: Scene, lane: number): number => scene.y(lane) + scene.row.above + scene.row.bar / 2;

/** Where the short arrow to or from a row outside the view turns. */
const AWAY = 8;

type Away = { readonly bar: Bar; readonly other: Bar; readonly after: boolean };

/** Out of the end of the bar or into its start, up or down, with the number of the work there where the row has room for it. */
function paintAway(surface: Surface, scene: Scene, { bar, other, after }: Away, colour: string, broken: boolean): void {
  const x = scene.x(after ? bar.end : bar.start);
  if (x < -STUBS || x > scene.width + STUBS) return;
  const lane = bar.lanes[0] ?? 0;
  const y = middleOf(scene, lane);
  const down = (other.lanes[0] ?? 0) > lane;
  const reach = (down ? 1 : -1) * (scene.row.bar / 2 + 3);
  const turn = x + (after ? AWAY : -AWAY);
  const way: readonly Point[] = [
    [x, y],
    [turn, y],
    [turn, y + reach],
  ];
  stroke(surface, after ? way : [...way].reverse(), colour, broken);
  if (!after || bar.late > 0 || scene.tier === "flat" || scene.tier === "silhouette") return;
  const { ctx, palette, labels } = surface;
  const width = labels.width(other.number, "note");
  const left = turn + 6;
  const next = scene.model.onLane[lane]?.bars.find(({ start }) => start >= bar.end);
  const isLabelled = scene.x(bar.end) - scene.x(bar.start) > 2 * width;
  if (isLabelled && left + width + 8 < Math.min(next ? scene.x(next.start) : scene.width, scene.width))
    labels.draw(ctx, other.number, left, y + 4, "note", palette.ink2, groundColour(surface, scene, left));
}

function drawnLinks(model: BoardModel, order: string | null): readonly Drawn[] {
  const broken = new Set(
    model.conflicts.placed.flatMap(({ conflict }) =>
      BROKEN.has(conflict.kind) && conflict.resource !== null ? [conflict.resource] : [],
    ),
  );
  const bars = new Map<string, Bar[]>();
  const wanted = model.shop.problem.links.filter(({ id, from, to }) => {
    if (broken.has(id)) return true;
    if (order === null) return false;
    return model.shop.operation.get(from)?.order === order || model.shop.operation.get(to)?.order === order;
  });
  if (wanted.length === 0) return [];
  const ends = new Set(wanted.flatMap(({ from, to }) => [from, to]));
  for (const bar of model.bars) {
    if (!ends.has(bar.operation.id)) continue;
    const list = bars.get(bar.operation.id);
    if (list) list.push(bar);
    else bars.set(bar.operation.id, [bar]);
  }
  return wanted.flatMap((link) => {
    const from = bars.get(link.from)?.reduce((last, bar) => (bar.end > last.end ? bar : last));
    const to = bars.get(link.to)?.[0];
    return from && to ? [{ from, to, broken: broken.has(link.id) }] : [];
  });
}

/** Routes stay between the rows and, but for a stub, between the minutes of their ends. */
const STUBS = 24;
export function inSight(scene: Scene, from: Bar, to: Bar): boolean {
  const [a, b] = [from.lanes[0] ?? 0, to.lanes[0] ?? 0];
  if (Math.max(a, b) < scene.firstLane || Math.min(a, b) > scene.lastLane) return false;
  const [x, right] = [scene.x(from.end), scene.x(to.start)];
  return Math.max(x, right) > -STUBS && Math.min(x, right) < scene.width + STUBS;
}

export function routeOf(scene: Scene, from: Bar, to: Bar): readonly Point[] {
  const middle = (lane: number): number => middleOf(scene, lane);
  const fromLane = from.lanes[0] ?? 0;
  const toLane = to.lanes[0] ?? 0;
  const { scale, left } = scene.view.camera;
  return linkRoute(
    {
      from: { x: scene.x(from.end), y: middle(fromLane), lane: fromLane },
      to: { x: scene.x(to.start), y: middle(toLane), lane: toLane },
    },
    (lane, side) => scene.y(side === "above" ? lane : lane + 1) + (side === "above" ? 1 : -0.5),
    (x, a, b) => barsBetween(scene.model, left + x / scale, a, b),
  );
}

export function stroke({ ctx, palette }: Surface, route: readonly Point[], colour: string, broken: boolean): void {
  const first = route[0];
  const last = route.at(-1);
  if (!first || !last) return;
  const path = (): void => {
    ctx.beginPath();
    ctx.moveTo(first[0], first[1]);
    for (const [x, y] of route.slice(1)) ctx.lineTo(x, y);
    ctx.stroke();
  };
  ctx.lineJoin = "round";
  ctx.strokeStyle = palette.sheet;
  ctx.lineWidth = 4.6;
  path();
  ctx.strokeStyle = colour;
  ctx.lineWidth = 1.6;
  if (broken) ctx.setLineDash([5, 3]);
  path();
  ctx.setLineDash([]);
  ctx.fillStyle = colour;
  ctx.beginPath();
  ctx.arc(first[0], first[1], 3, 0, Math.PI * 2);
  ctx.fill();
  const before = route.at(-2) ?? first;
  const length = Math.hypot(last[0] - before[0], last[1] - before[1]);
  const [alongX, alongY] = length === 0 ? [1, 0] : [(last[0] - before[0]) / length, (last[1] - before[1]) / length];
  ctx.beginPath();
  ctx.moveTo(last[0], last[1]);
  for (const side of [-4, 4]) ctx.lineTo(last[0] - 7 * alongX - side * alongY, last[1] - 7 * alongY + side * alongX);
  ctx.fill();
}
