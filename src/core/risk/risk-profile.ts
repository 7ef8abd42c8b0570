/**
 * What may go otherwise than planned: durations, machine stops, late material. An input beside the problem, never part of it.
 * The defaults are common practice, no source: a shop that has measured its own should give them.
 */
import type { Flavour } from "../ground/flavour.ts";
import type { OperationId, PhaseKind } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { MachineId } from "../plant/machine.ts";
import type { ThreePoint } from "./pert.ts";

/** Times the planned minutes: 1 is as planned. */
export type Factors = Flavour<ThreePoint, "factors">;

/** Mean minutes of work between two stops, and mean minutes a stop lasts; both exponential. */
export type Stops = { readonly meanBetween: number; readonly meanRepair: number };

/** With this chance (0 to 1) the material comes later than its release says, by so many minutes. */
export type LateMaterial = { readonly chance: number; readonly delayMinutes: ThreePoint };

export type RiskProfile = {
  readonly durations: Readonly<Record<PhaseKind | "outside", Factors>>;
  /** Instead of the above, for all phases of an operation. */
  readonly operations: Readonly<Record<OperationId, Factors>>;
  /** By machine; machines that are not named never stop. */
  readonly stops: Readonly<Record<MachineId, Stops>>;
  /** For every order whose release is still to come. */
  readonly material: LateMaterial;
  /** Instead of the above, by order. */
  readonly orders: Readonly<Record<OrderId, LateMaterial>>;
  /**
   * notBeforePlanned: people and parts come when the plan calls them, so nothing begins before its planned minute.
   * asSoonAsPossible: what ends early lets the next begin early.
   */
  readonly starts: "notBeforePlanned" | "asSoonAsPossible";
  /** Work that may be interrupted and takes longer than planned goes on past closing for so long, if that ends it. */
  readonly stayMinutes: number;
};

export const DEFAULT_RISK_PROFILE: RiskProfile = {
  durations: {
    prepare: { best: 0.8, likely: 1, worst: 1.8 },
    run: { best: 0.9, likely: 1, worst: 1.4 },
    clear: { best: 0.8, likely: 1, worst: 1.6 },
    outside: { best: 0.9, likely: 1, worst: 1.5 },
  },
  operations: {},
  stops: {},
  material: { chance: 0.1, delayMinutes: { best: 240, likely: 1440, worst: 7200 } },
  orders: {},
  starts: "notBeforePlanned",
  stayMinutes: 30,
};

/** Nothing goes otherwise: the replay is the plan. */
export const NO_RISK: RiskProfile = {
  durations: {
    prepare: { best: 1, likely: 1, worst: 1 },
    run: { best: 1, likely: 1, worst: 1 },
    clear: { best: 1, likely: 1, worst: 1 },
    outside: { best: 1, likely: 1, worst: 1 },
  },
  operations: {},
  stops: {},
  material: { chance: 0, delayMinutes: { best: 0, likely: 0, worst: 0 } },
  orders: {},
  starts: "notBeforePlanned",
  stayMinutes: 0,
};
