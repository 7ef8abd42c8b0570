/**
 * lagShort, lagLong, otherMachine: links between operations, for every lot of one with every lot of the other.
 * Lags count elapsed minutes from end to start. One conflict of each kind for each link and pair of lots;
 * amount = minutes too early or too late. A pair in which nothing is left to decide is past.
 */
import type { Link } from "../orders/link.ts";
import type { Operation } from "../orders/operation.ts";
import { boundMinute, type Lot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration } from "./wording.ts";

export function checkLinks(scene: Scene): void {
  const { look, lots } = scene;
  const any = lots.anyLeftOut;
  for (const { link, from: before, to: after } of look.links) {
    if (link.kind === "transfer" || (any && (lots.isLeftOut(link.from) || lots.isLeftOut(link.to)))) continue;
    for (const from of lots.at[before] ?? []) {
      for (const to of lots.at[after] ?? []) {
        if (from.mode === null || to.mode === null) continue;
        if (link.kind === "lag") checkLag(scene, link, from, to);
        else checkMachines(scene, link, from, to);
      }
    }
  }
}

function checkLag({ at, name, write }: Scene, link: Link & { kind: "lag" }, from: Lot, to: Lot): void {
  const start = boundMinute(to);
  if (start === null) return;
  const operations = [from.operation.id, to.operation.id];
  const earliest = from.end + link.minLag;
  if (start < earliest) {
    const gap = link.minLag > 0 ? ` and ${sayDuration(link.minLag)} have to pass` : "";
    const sentence = `${name(to.operation)} begins at ${at(start)}, ${sayDuration(earliest - start)} too early: ${name(from.operation)} ends at ${at(from.end)}${gap}.`;
    write(conflictOf("lagShort", operations, link.id, [start, earliest], earliest - start, sentence));
  }
  if (link.maxLag === null || start <= from.end + link.maxLag) return;
  const latest = from.end + link.maxLag;
  const sentence = `${name(to.operation)} begins at ${at(start)}, ${sayDuration(start - latest)} too late: ${name(from.operation)} ends at ${at(from.end)} and may wait ${sayDuration(link.maxLag)}.`;
  write(conflictOf("lagLong", operations, link.id, [latest, start], start - latest, sentence));
}

function checkMachines(scene: Scene, link: Link, from: Lot, to: Lot): void {
  if (from.state !== "open" && to.state !== "open") return;
  if (machinesOf(from) === machinesOf(to)) return;
  const { look, name, write } = scene;
  const places = (lot: Lot): string =>
    lot.mode?.machines.map((id) => look.machines.get(id)?.name ?? id).join(" + ") || "no machine";
  const sentence = `${name(to.operation)} is on ${places(to)}, but must be on the same machine as ${name(from.operation)}, which is on ${places(from)}.`;
  write(
    conflictOf("otherMachine", [from.operation.id, to.operation.id], link.id, [to.start, to.end], to.end - to.start, sentence),
  );
}

/** A set of machines as one comparable text. */
export const machineSet = (machines: Operation["modes"][number]["machines"]): string =>
  JSON.stringify([...new Set(machines)].sort());

const machinesOf = (lot: Lot): string => machineSet(lot.mode?.machines ?? []);
