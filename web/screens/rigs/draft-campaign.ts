/** Hands a campaign over to the page that plans one: from a free window, or from a request. Lives as long as the page is open; taken once. */
import type { Campaign } from "../../../src/contract/campaign/campaign-schema.ts";

let kept: Partial<Campaign> | null = null;

export function keepDraftCampaign(campaign: Partial<Campaign>): void {
  kept = campaign;
}

export function takeDraftCampaign(): Partial<Campaign> | null {
  const campaign = kept;
  kept = null;
  return campaign;
}
