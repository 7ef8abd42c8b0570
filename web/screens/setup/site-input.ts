/** What may be changed of the site as it is read: origin and now follow from the clock. */
import type { SiteInput, SiteView } from "../../../src/contract/api/site.ts";

export function siteInputOf({ name, zone, weights, freezeHours, horizonDays, followsPlan }: SiteView): SiteInput {
  return { name, zone, weights, freezeHours, horizonDays, followsPlan };
}
