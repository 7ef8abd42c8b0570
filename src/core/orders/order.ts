/** Orders: what was promised to whom. An order is complete when its last operation or lot ends. */

import type { Minute } from "../calendar/minute.ts";
import type { Flavour } from "../ground/flavour.ts";
import { ceilDivide } from "../ground/rounding.ts";

export type OrderId = Flavour<string, "order">;
export type OrderKind = "production" | "prototype" | "campaign" | "maintenance";

export type Order = {
  readonly id: OrderId;
  readonly name: string;
  readonly kind: OrderKind;
  /** Good pieces wanted. */
  readonly quantity: number;
  readonly scrapPerMille: number;
  /** Material on hand: nothing of the order starts earlier. */
  readonly release: Minute;
  /** What was promised; null: nothing (maintenance). Late is a cost, not a conflict. */
  readonly due: Minute | null;
  /** Hard: ending later is a conflict. */
  readonly deadline: Minute | null;
  readonly weight: number;
  readonly requester: string | null;
};

/** Pieces to start so that `quantity` good ones remain: ceil(1000 x quantity / (1000 - scrap)). */
export const piecesToStart = (quantity: number, scrapPerMille: number): number =>
  ceilDivide(1000 * quantity, 1000 - scrapPerMille);
