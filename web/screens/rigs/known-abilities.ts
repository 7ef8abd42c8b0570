/** The abilities that machines state, each once with its unit and the widest range, in the order stated, so that forms can offer them. Pure. */
import type { MachineInFile } from "../../../src/contract/file/plant-schema.ts";
import { nameKey } from "../../../src/core/plant/ability.ts";

export type KnownAbility = { readonly name: string; readonly unit: string; readonly least: number; readonly most: number };

/** Coupled rigs are asked for by a tick of their own. */
const NOT_ASKED = "back to back";

export function knownAbilities(machines: readonly Pick<MachineInFile, "abilities">[]): readonly KnownAbility[] {
  const known = new Map<string, KnownAbility>();
  for (const { name, unit, from, to } of machines.flatMap(({ abilities }) => abilities)) {
    const key = nameKey(name);
    if (key === NOT_ASKED) continue;
    const before = known.get(key);
    if (before !== undefined && before.unit !== unit) continue;
    known.set(key, {
      name: before?.name ?? name,
      unit,
      least: Math.min(before?.least ?? from, from),
      most: Math.max(before?.most ?? to, to),
    });
  }
  return [...known.values()];
}
