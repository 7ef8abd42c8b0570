/** Supplies (an amount drawn while phases work) and kits (movable things held by operations). */

import type { StepFunction } from "../calendar/step-function.ts";
import type { Flavour } from "../ground/flavour.ts";

export type SupplyId = Flavour<string, "supply">;
export type KitId = Flavour<string, "kit">;

export type Supply = { readonly id: SupplyId; readonly name: string; readonly unit: string; readonly amount: StepFunction };
export type Kit = { readonly id: KitId; readonly name: string; readonly count: StepFunction };
