/**
 * How long each phase takes in one run: a three-point factor on its planned minutes, lengthened by machine stops, and how late
 * material comes. Draws of different phases are independent of each other (a bad day that hits all work alike is not modelled).
 * Stops come at random in worked minutes, the work goes on where it stopped, and the repair takes the hours in which the phase may
 * work: the effective time is then work / availability on average (Hopp, Spearman, Factory Physics, the chapter on variability).
 */
import type { DispatchNetwork } from "../explain/dispatch-network.ts";
import { present } from "../ground/invariant.ts";
import type { Random } from "../ground/prng.ts";
import { sampleExponential, sampleThreePoint } from "./pert.ts";
import { pertTables, sampleTable } from "./pert-table.ts";
import type { Factors, LateMaterial, RiskProfile, Stops } from "./risk-profile.ts";

export type Draws = {
  /** Worked minutes of each node over those of the plan. */
  readonly factor: Float64Array;
  /** Minutes by which the material of each order comes later. */
  readonly delay: Float64Array;
};

export type Sampler = { readonly draw: (random: Random) => Draws };

export function createSampler(network: DispatchNetwork, profile: RiskProfile): Sampler {
  const tableOf = pertTables();
  const nodes = network.nodes.map((node) => {
    const lot = present(network.lots[node.lot], "lot");
    const factors: Factors =
      profile.operations[lot.operation] ?? profile.durations[lot.machines.length === 0 ? "outside" : node.kind];
    return {
      planned: node.minutes,
      table: tableOf(factors),
      stops: lot.machines.flatMap((machine): Stops[] => (profile.stops[machine] ? [profile.stops[machine]] : [])),
    };
  });
  const material = network.problem.orders.map((order): LateMaterial | null =>
    order.release > network.problem.now ? (profile.orders[order.id] ?? profile.material) : null,
  );
  const draws: Draws = { factor: new Float64Array(nodes.length), delay: new Float64Array(material.length) };
  return {
    draw: (random) => {
      for (let i = 0; i < nodes.length; i++) {
        const { planned, table, stops } = nodes[i] as (typeof nodes)[number];
        if (planned <= 0) continue;
        const factor = sampleTable(table, random);
        draws.factor[i] = stops.length === 0 ? factor : factor + sampleRepairs(planned * factor, stops, random) / planned;
      }
      for (let i = 0; i < material.length; i++) {
        const late = material[i] as LateMaterial | null;
        draws.delay[i] =
          late !== null && random.next() < late.chance ? Math.round(sampleThreePoint(late.delayMinutes, random)) : 0;
      }
      return draws;
    },
  };
}

/** Minutes of repair that so many worked minutes meet. */
export function sampleRepairs(work: number, stops: readonly Stops[], random: Random): number {
  let repairs = 0;
  for (const { meanBetween, meanRepair } of stops) {
    for (let at = sampleExponential(meanBetween, random); at < work; at += sampleExponential(meanBetween, random))
      repairs += sampleExponential(meanRepair, random);
  }
  return repairs;
}
