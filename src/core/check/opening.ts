/**
 * machineClosed: a phase works only while the machines of its mode are open; without a machine, while the named calendar is.
 * One conflict for each phase, with the first place that is closed; amount = minutes worked in closed time.
 */
import { totalMinutes } from "../calendar/intervals.ts";
import type { Interval } from "../calendar/minute.ts";
import { liesInside, type Place, together, workOutside } from "./look-up.ts";
import type { Lot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration } from "./wording.ts";

export function checkOpening(scene: Scene, { operation, phases }: Lot): void {
  const { look, problem, at, name, write } = scene;
  for (const { mode, ahead } of phases) {
    const all = look.placesOf(mode);
    if (all.every(({ open }: Place) => liesInside(ahead, open))) continue;
    const places = all.map(({ id, open }) => ({ id, closed: workOutside(ahead, open) }));
    const closed = together(places.map((place) => place.closed));
    const first = closed[0];
    if (first === undefined) continue;
    const minutes = totalMinutes(closed);
    const place = places.find((candidate) => candidate.closed[0]?.[0] === first[0])?.id ?? "";
    const called = look.machines.get(place)?.name ?? problem.calendars.find(({ id }) => id === place)?.name ?? place;
    const sentence = `${name(operation)} works ${sayDuration(minutes)} on ${called} while it is closed, first at ${at(first[0])}.`;
    write(conflictOf("machineClosed", [operation.id], place, first satisfies Interval, minutes, sentence));
  }
}
