/**
 * Which rigs, or pairs of rigs, can take a campaign, and why the others cannot, each reason with its numbers. Judges what the shop
 * has stated of its rigs; when they are free is another question. A rig that can is not thereby a rig that may: limits of the day
 * and local rules are for the people at it.
 */
import { abilityShortfall, nameKey } from "../../core/plant/ability.ts";
import type { MachineInFile, SetupTableInFile, SupplyInFile } from "../file/plant-schema.ts";
import type { Campaign } from "./campaign-schema.ts";

/** What of the shop a campaign is judged against; a problem file has all of it. */
export type CampaignShop = {
  readonly machines: readonly MachineInFile[];
  readonly supplies: readonly SupplyInFile[];
  readonly setupTables: readonly SetupTableInFile[];
  readonly kits: readonly { readonly id: string; readonly name?: string | undefined }[];
  readonly crews: readonly { readonly skills: readonly string[] }[];
};

/** One rig, or two that are coupled. */
export type RigVerdict = { readonly machines: readonly string[]; readonly name: string; readonly reasons: readonly string[] };

/** Rigs with the same number under this name can be coupled back to back. */
export const COUPLED = "back to back";

/** Every rig (or pair), those that can first. */
export function rigChoice(campaign: Campaign, shop: CampaignShop): readonly RigVerdict[] {
  const rigs = shop.machines.filter(({ kind }) => kind === "rig");
  const verdicts = rigs.map(
    (rig): RigVerdict => ({
      machines: [rig.id],
      name: rig.name ?? rig.id,
      reasons: [...reasonsOf(rig, campaign, shop), ...supplyReasons(campaign, shop)],
    }),
  );
  return (campaign.backToBack ? pairsOf(rigs, verdicts) : verdicts).toSorted(
    (a, b) => Math.sign(a.reasons.length) - Math.sign(b.reasons.length),
  );
}

function pairsOf(rigs: readonly MachineInFile[], verdicts: readonly RigVerdict[]): readonly RigVerdict[] {
  const coupling = (rig: MachineInFile) => rig.abilities.filter(({ name }) => nameKey(name) === COUPLED);
  const coupled = (a: MachineInFile, b: MachineInFile): boolean =>
    coupling(a).some((one) => coupling(b).some((other) => one.from <= other.to && other.from <= one.to));
  const reasonsOn = (rig: MachineInFile) => verdicts.find(({ machines }) => machines[0] === rig.id)?.reasons ?? [];
  const nameOf = (rig: MachineInFile): string => rig.name ?? rig.id;
  const pairs = rigs.flatMap((a, i) =>
    rigs.slice(i + 1).flatMap((b): RigVerdict[] => {
      if (!coupled(a, b)) return [];
      const reasons = [a, b].flatMap((rig) => reasonsOn(rig).map((reason) => `${nameOf(rig)}: ${reason}`));
      return [{ machines: [a.id, b.id], name: `${nameOf(a)} + ${nameOf(b)}`, reasons }];
    }),
  );
  const paired = new Set(pairs.flatMap(({ machines }) => machines));
  const single = rigs
    .filter(({ id }) => !paired.has(id))
    .map(
      (rig): RigVerdict => ({
        machines: [rig.id],
        name: nameOf(rig),
        reasons: [`states no other rig it can be coupled with (ability “${COUPLED}”)`, ...reasonsOn(rig)],
      }),
    );
  return [...pairs, ...single];
}

function reasonsOf(rig: MachineInFile, campaign: Campaign, shop: CampaignShop): readonly string[] {
  const reasons: string[] = [];
  if (campaign.rigs !== null && !campaign.rigs.includes(rig.id)) reasons.push("not among the rigs asked for");
  for (const need of campaign.needs) {
    const shortfall = abilityShortfall(rig.abilities, need);
    if (shortfall !== null) reasons.push(shortfall);
  }
  for (const name of campaign.calibrations)
    if (!rig.calibrations.some((calibration) => calibration.name === name)) reasons.push(`has no ${name} calibration`);
  if (campaign.family !== null) {
    const table = rig.setup.kind === "table" ? rig.setup.table : null;
    const families = shop.setupTables.find(({ id }) => id === table)?.families ?? [];
    if (!families.includes(campaign.family)) reasons.push(`cannot be set up for “${campaign.family}”`);
  }
  if (campaign.startTemperature !== null && rig.setup.kind !== "temperature") reasons.push("has no chamber temperature");
  if (campaign.unattended && rig.unattended.kind === "never") reasons.push("never runs unattended");
  return reasons;
}

/** What no rig can help: more drawn than the supply ever gives. */
function supplyReasons({ draws }: Campaign, { supplies }: CampaignShop): readonly string[] {
  return draws.flatMap(({ supply, amount }) => {
    const known = supplies.find(({ id }) => id === supply);
    if (known === undefined) return [];
    const most = Math.max(known.amount, ...known.changes.map((change) => change.amount));
    return most < amount ? [`${known.name ?? known.id}: ${most} ${known.unit} < ${amount} ${known.unit} needed`] : [];
  });
}
