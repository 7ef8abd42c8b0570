/** Links between operations, also across orders. With split operations every lot is linked with every lot. */

import type { Minute } from "../calendar/minute.ts";
import type { Flavour } from "../ground/flavour.ts";
import type { KitId } from "../plant/supply.ts";
import type { OperationId } from "./operation.ts";

export type LinkId = Flavour<string, "link">;

export type Link =
  /** From end to start, elapsed minutes. maxLag null: any. */
  | {
      readonly kind: "lag";
      readonly id: LinkId;
      readonly from: OperationId;
      readonly to: OperationId;
      readonly minLag: Minute;
      readonly maxLag: Minute | null;
    }
  /** The same set of machines; says nothing about time. */
  | { readonly kind: "sameMachine"; readonly id: LinkId; readonly from: OperationId; readonly to: OperationId }
  /** Transfer lots of `pieces`: piece i of `to` begins no earlier than pieces 1..min(n, ceil(i/q) x q) of `from` are worked. */
  | {
      readonly kind: "transfer";
      readonly id: LinkId;
      readonly from: OperationId;
      readonly to: OperationId;
      readonly pieces: number;
    };

/** A kit held from the first start of `from` to the last end of `to`, which is linked after it. */
export type KitSpan = {
  readonly id: string;
  readonly kit: KitId;
  readonly count: number;
  readonly from: OperationId;
  readonly to: OperationId;
};
