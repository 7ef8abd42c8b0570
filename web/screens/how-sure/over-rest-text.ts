/** Why a date on a closed day is less sure than it looks, as a sentence: how many courses run over into the return of its people. */
import type { RiskAnswer } from "../../../src/contract/api/questions/risk.ts";
import { chanceText } from "../../present/amounts.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

export function overRestText(
  { share, leave, back, hourEnough }: NonNullable<RiskAnswer["orders"][number]["overRest"]>,
  time: SiteTime,
): string {
  const hour = hourEnough > 0 ? chanceText(hourEnough) : null;
  return words.howSure.overRest(chanceText(share), time.dayTime(leave), time.dayTime(back), hour);
}
