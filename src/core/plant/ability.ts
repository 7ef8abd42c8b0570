/**
 * What a machine or rig can do, in numbers: torque 0 to 300 N·m, temperature -40 to 150 degC. Abilities say which rigs come into
 * question for a test and why the others do not; the engine and the checker know the ways of an operation only.
 * A value is what somebody stated of the machine. It is no permission: limits of the day are for the people at the rig.
 */
export type Ability = {
  readonly name: string;
  /** Empty: a plain number. */
  readonly unit: string;
  readonly from: number;
  readonly to: number;
};

/** The range a test needs; null: that side does not matter. */
export type AbilityNeed = {
  readonly name: string;
  readonly unit: string;
  readonly from: number | null;
  readonly to: number | null;
};

/** Why the abilities do not meet the need, in words with both numbers; null: they do. */
export function abilityShortfall(abilities: readonly Ability[], need: AbilityNeed): string | null {
  const same = abilities.filter(({ name }) => nameKey(name) === nameKey(need.name));
  const [first] = same;
  if (first === undefined) return `no ${need.name} stated, ${rangeText(need)} needed`;
  const comparable = same.filter(({ unit }) => unit === need.unit);
  const [nearest] = comparable;
  if (nearest === undefined)
    return `${need.name} stated in ${unitText(first.unit)}, asked for in ${unitText(need.unit)}: enter both in one unit`;
  // several ranges of one name: one of them must hold the whole need
  if (comparable.some((ability) => holds(ability, need))) return null;
  if (comparable.length > 1)
    return `${need.name} ${comparable.map(({ from, to, unit }) => rangeText({ from, to, unit })).join(" or ")}, ${rangeText(need)} needed`;
  if (need.to !== null && need.to > nearest.to)
    return `${need.name} limit ${amount(nearest.to, need.unit)} < ${amount(need.to, need.unit)} needed`;
  if (need.from !== null && need.from < nearest.from)
    return `lowest ${need.name} ${amount(nearest.from, need.unit)} > ${amount(need.from, need.unit)} needed`;
  return `${need.name} ${rangeText(nearest)}, ${rangeText(need)} needed`;
}

/** Every value of the need lies in the ability's range; a need of one side only asks that its value does. */
function holds({ from, to }: Ability, need: AbilityNeed): boolean {
  const values = [need.from, need.to].filter((value) => value !== null);
  return values.every((value) => value >= from && value <= to);
}

/** Names are compared as people read them. */
export const nameKey = (name: string): string => name.trim().toLocaleLowerCase("en");

const amount = (value: number, unit: string): string => (unit === "" ? String(value) : `${value} ${unit}`);
const unitText = (unit: string): string => (unit === "" ? "plain numbers" : unit);
function rangeText({ from, to, unit }: Pick<AbilityNeed, "from" | "to" | "unit">): string {
  if (from === null && to === null) return "any value";
  if (from === null || to === null || from === to) return amount(to ?? from ?? 0, unit);
  return `${from} to ${amount(to, unit)}`;
}
