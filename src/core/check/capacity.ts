/**
 * crewShort, supplyShort, kitShort: at every minute the needs of all phases working at it stay within each crew's headcount
 * and each supply's amount, and what is held of a kit within its count. One conflict for each resource and unbroken
 * stretch of excess, with all that use it there; amount = largest excess.
 * A phase whose own need is above the headcount is nobodyThere (people.ts) and not counted here.
 */
import type { Interval } from "../calendar/minute.ts";
import type { OperationId } from "../orders/operation.ts";
import { stretchesOfExcess, type Use } from "./excess.ts";
import { workInside } from "./look-up.ts";
import { conflictOf, plannedLots, type Scene } from "./scene.ts";
import { sayInterval, sayNames, sayPeople } from "./wording.ts";
import { drawsOf } from "./workable.ts";

type Uses = Map<string, Use<OperationId>[]>;

function add(uses: Uses, resource: string, interval: Interval, amount: number, user: OperationId): void {
  const use = { interval, amount, user };
  const list = uses.get(resource);
  if (list) list.push(use);
  else uses.set(resource, [use]);
}

const names = ({ name }: Scene, users: ReadonlySet<OperationId>): string => sayNames([...users].sort().map(name));

export function checkCrews(scene: Scene): void {
  const { problem, look, at, write } = scene;
  const uses: Uses = new Map();
  for (const { operation, phases } of plannedLots(scene)) {
    for (const { ahead, needsOfCrews } of phases) {
      for (const [id, amount] of needsOfCrews) {
        const crew = look.crews.get(id);
        if (crew === undefined) continue;
        for (const interval of workInside(ahead, look.enough(crew.headcount, amount)))
          add(uses, id, interval, amount, operation.id);
      }
    }
  }
  for (const crew of problem.crews) {
    for (const { interval, users, excess } of stretchesOfExcess(uses.get(crew.id) ?? [], crew.headcount, problem.now)) {
      const sentence = `${crew.name} is short by ${sayPeople(excess)} ${sayInterval(at, interval)}: used by ${names(scene, users)}.`;
      write(conflictOf("crewShort", users, crew.id, interval, excess, sentence));
    }
  }
}

export function checkSupplies(scene: Scene): void {
  const { problem, at, write } = scene;
  const uses: Uses = new Map();
  for (const { operation, phases } of plannedLots(scene)) {
    for (const { ahead, phase } of phases) {
      if (phase.draws.length === 0) continue;
      for (const [id, amount] of drawsOf(phase.draws)) {
        for (const interval of ahead) add(uses, id, interval, amount, operation.id);
      }
    }
  }
  for (const supply of problem.supplies) {
    for (const { interval, users, excess } of stretchesOfExcess(uses.get(supply.id) ?? [], supply.amount, problem.now)) {
      const sentence = `${supply.name} is short by ${excess} ${supply.unit} ${sayInterval(at, interval)}: drawn on by ${names(scene, users)}.`;
      write(conflictOf("supplyShort", users, supply.id, interval, excess, sentence));
    }
  }
}

export function checkKits(scene: Scene): void {
  const { problem, lots, at, write } = scene;
  const uses: Uses = new Map();
  for (const { operation, start, end } of lots.all) {
    for (const { kit, count } of operation.kits) add(uses, kit, [start, end], count, operation.id);
  }
  const spanEnds = new Map<OperationId, OperationId[]>();
  for (const { id, kit, count, from, to } of problem.kitSpans) {
    const first = lots.ofOperation.get(from) ?? [];
    const last = lots.ofOperation.get(to) ?? [];
    if (lots.isLeftOut(from) || lots.isLeftOut(to) || first.length === 0 || last.length === 0) continue;
    const start = first.reduce((least, lot) => Math.min(least, lot.start), Number.POSITIVE_INFINITY);
    const end = last.reduce((most, lot) => Math.max(most, lot.end), Number.NEGATIVE_INFINITY);
    const user = `kit span ${id}`;
    spanEnds.set(user, [from, to]);
    add(uses, kit, [start, end], count, user);
  }
  for (const kit of problem.kits) {
    for (const { interval, users, excess } of stretchesOfExcess(uses.get(kit.id) ?? [], kit.count, problem.now)) {
      const operations = new Set([...users].flatMap((user) => spanEnds.get(user) ?? [user]));
      const sentence = `${kit.name} is short by ${excess} ${sayInterval(at, interval)}: held for ${names(scene, operations)}.`;
      write(conflictOf("kitShort", operations, kit.id, interval, excess, sentence));
    }
  }
}
