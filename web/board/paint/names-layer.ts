/** The names column: group headings, machines with "next free" - and, while a bar is in the hand, the answer column. */
import type { Lane } from "../lanes.ts";
import { nextFree } from "../next-free.ts";
import { outline, type Scene, type Surface } from "./surface.ts";

/** Six days: from there on the short form of a moment names day and month. */
const FAR = 6 * 1440;

export function paintNames(surface: Surface, scene: Scene): void {
  const { ctx, palette, labels } = surface;
  const { view, model } = scene;
  const width = view.size.names;
  ctx.fillStyle = palette.panel;
  ctx.fillRect(0, 0, width, scene.height);
  for (let lane = scene.firstLane; lane <= scene.lastLane; lane++) {
    const entry = model.lanes.list[lane];
    if (!entry) continue;
    const y = scene.y(lane);
    const height = (scene.tops[lane + 1] as number) - (scene.tops[lane] as number);
    if (entry.kind === "group") {
      labels.draw(
        ctx,
        entry.name === null ? view.words.benchGroup : entry.name || view.words.noGroup,
        10,
        y + 15,
        "value",
        palette.ink,
        null,
      );
    } else paintName(surface, scene, entry, lane, y, height);
    ctx.fillStyle = palette.line;
    ctx.fillRect(0, y, width, 0.75);
  }
  ctx.fillStyle = palette.line;
  ctx.fillRect(0, scene.y(scene.lastLane + 1), width, 0.75);
  ctx.fillStyle = palette.edge;
  ctx.fillRect(width - 1, 0, 1, scene.height);
}

function paintName(
  surface: Surface,
  scene: Scene,
  entry: Exclude<Lane, { kind: "group" }>,
  lane: number,
  y: number,
  height: number,
): void {
  const { ctx, palette, labels } = surface;
  const { view } = scene;
  const width = view.size.names;
  const { lift } = view;
  const candidate = lift?.can.has(lane) ?? false;
  const base = y + height / 2 + 4.5;
  if (lift && candidate) {
    ctx.fillStyle = palette.raised;
    ctx.fillRect(0, y + 1, width - 1, height - 1);
  }
  const name = entry.kind === "machine" ? entry.machine.name : view.words.benchRow(entry.slot);
  const answer = lift ? (lift.answers.get(lane) ?? "") : entry.kind === "machine" ? nextFreeText(scene, entry.machine.id) : "";
  const answerWidth = labels.width(answer, candidate ? "value" : "note");
  if (lift && !candidate) ctx.globalAlpha = 0.55;
  const room = width - 20 - (answer === "" ? 0 : answerWidth + 8);
  labels.draw(ctx, shortened(surface, name, room), 10, base, "row", palette.ink, null);
  labels.draw(
    ctx,
    answer,
    width - 10 - answerWidth,
    base,
    candidate ? "value" : "note",
    candidate ? palette.ink : palette.ink2,
    null,
  );
  ctx.globalAlpha = 1;
  if (lift && lift.target === lane) {
    ctx.strokeStyle = lift.refused ? palette.bad : palette.ink;
    outline(ctx, 1, y + 1, width - 2, height - 1, 2);
  }
}

function nextFreeText(scene: Scene, machine: string): string {
  const minute = nextFree(scene.model, machine, scene.view.now);
  if (minute === null) return "";
  const text = scene.view.words.short(minute);
  // Far away the day is enough, and leaves the machine its name.
  return minute - scene.view.now > FAR ? text.replace(/\s\d\d:\d\d$/, "") : text;
}

function shortened({ labels }: Surface, text: string, room: number): string {
  if (labels.width(text, "row") <= room) return text;
  let cut = text;
  while (cut.length > 1 && labels.width(`${cut}…`, "row") > room) cut = cut.slice(0, -1);
  return `${cut}…`;
}

export function paintNamesHead(surface: Surface, scene: Scene): void {
  const { ctx, palette, labels } = surface;
  const { size, words, lift } = scene.view;
  ctx.fillStyle = palette.panel;
  ctx.fillRect(0, 0, size.names, size.axis);
  const right = lift ? lift.heading : words.nextFree;
  const face = lift ? "value" : "note";
  if (labels.width(words.machineOrRig, "note") + labels.width(right, face) + 28 < size.names) {
    labels.draw(ctx, words.machineOrRig, 10, size.axis - 7, "note", palette.ink2, null);
  }
  labels.draw(
    ctx,
    right,
    size.names - 10 - labels.width(right, face),
    size.axis - 7,
    face,
    lift ? palette.ink : palette.ink2,
    null,
  );
  ctx.fillStyle = palette.edge;
  ctx.fillRect(0, size.axis - 1, size.names, 1);
  ctx.fillRect(size.names - 1, 0, 1, size.axis);
}
