/** Hands a copy over to the page for new things of the plant. Taken once. */
import type { PlantEntity, PlantKind } from "../../../src/contract/api/shop.ts";

let kept: { readonly kind: PlantKind; readonly entity: unknown } | null = null;

export function keepDraftPlant<K extends PlantKind>(kind: K, entity: PlantEntity<K>): void {
  kept = { kind, entity };
}

export function takeDraftPlant<K extends PlantKind>(kind: K): PlantEntity<K> | null {
  if (kept?.kind !== kind) return null;
  const { entity } = kept;
  kept = null;
  return entity as PlantEntity<K>;
}
