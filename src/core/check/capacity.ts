/**
 * crewShort, supplyShort, kitShort: at every minute the needs of all phases working at it stay within each crew's headcount
 * and each supply's amount, and what is held of a kit within its count. One conflict for each resource and unbroken
 * stretch of excess, with all that use it there; amount = largest excess.
 * A phase whose own need is above the headcount is nobodyThere (people.ts) and not counted here.
 */
import type { OperationId } from "../orders/operation.ts";
import { Uses } from "./excess.ts";
import { liesInside, workInside } from "./look-up.ts";
import { conflictOf, plannedLots, type Scene } from "./scene.ts";
import { sayInterval, sayNames, sayPeople } from "./wording.ts";
import { drawsOf } from "./workable.ts";

const usesOf = <T extends { readonly id: string }>(resources: readonly T[]): ReadonlyMap<string, Uses<OperationId>> =>
  new Map(resources.map(({ id }) => [id, new Uses<OperationId>()]));

const names = ({ name }: Scene, users: ReadonlySet<OperationId>): string => sayNames([...users].sort().map(name));

export function checkCrews(scene: Scene): void {
  const { problem, at, write } = scene;
  const uses = usesOf(problem.crews);
  for (const { operation, phases } of plannedLots(scene)) {
    for (const { ahead, served } of phases) {
      for (const { id, crew, amount, enough } of served) {
        if (crew === null) continue;
        const inside = liesInside(ahead, enough) ? ahead : workInside(ahead, enough);
        for (const interval of inside) uses.get(id)?.add(interval, amount, operation.id);
      }
    }
  }
  for (const crew of problem.crews) {
    for (const { interval, users, excess } of uses.get(crew.id)?.stretchesOfExcess(crew.headcount, problem.now) ?? []) {
      const sentence = `${crew.name} is short by ${sayPeople(excess)} ${sayInterval(at, interval)}: used by ${names(scene, users)}.`;
      write(conflictOf("crewShort", users, crew.id, interval, excess, sentence));
    }
  }
}

export function checkSupplies(scene: Scene): void {
  const { problem, at, write } = scene;
  const uses = usesOf(problem.supplies);
  for (const { operation, phases } of plannedLots(scene)) {
    for (const { ahead, phase } of phases) {
      if (phase.draws.length === 0) continue;
      for (const [id, amount] of drawsOf(phase.draws)) {
        for (const interval of ahead) uses.get(id)?.add(interval, amount, operation.id);
      }
    }
  }
  for (const supply of problem.supplies) {
    for (const { interval, users, excess } of uses.get(supply.id)?.stretchesOfExcess(supply.amount, problem.now) ?? []) {
      const sentence = `${supply.name} is short by ${excess} ${supply.unit} ${sayInterval(at, interval)}: drawn on by ${names(scene, users)}.`;
      write(conflictOf("supplyShort", users, supply.id, interval, excess, sentence));
    }
  }
}

export function checkKits(scene: Scene): void {
  const { problem, lots, at, write } = scene;
  const uses = usesOf(problem.kits);
  for (const { operation, start, end } of lots.all) {
    for (const { kit, count } of operation.kits) uses.get(kit)?.add([start, end], count, operation.id);
  }
  const spanEnds = new Map<OperationId, OperationId[]>();
  for (const { id, kit, count, from, to } of problem.kitSpans) {
    const first = lots.ofOperation(from);
    const last = lots.ofOperation(to);
    if (lots.isLeftOut(from) || lots.isLeftOut(to) || first.length === 0 || last.length === 0) continue;
    const start = first.reduce((least, lot) => Math.min(least, lot.start), Number.POSITIVE_INFINITY);
    const end = last.reduce((most, lot) => Math.max(most, lot.end), Number.NEGATIVE_INFINITY);
    const user = `kit span ${id}`;
    spanEnds.set(user, [from, to]);
    uses.get(kit)?.add([start, end], count, user);
  }
  for (const kit of problem.kits) {
    for (const { interval, users, excess } of uses.get(kit.id)?.stretchesOfExcess(kit.count, problem.now) ?? []) {
      const operations = new Set([...users].flatMap((user) => spanEnds.get(user) ?? [user]));
      const sentence = `${kit.name} is short by ${excess} ${sayInterval(at, interval)}: held for ${names(scene, operations)}.`;
      write(conflictOf("kitShort", operations, kit.id, interval, excess, sentence));
    }
  }
}
