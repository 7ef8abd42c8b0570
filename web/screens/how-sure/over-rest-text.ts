/** Why a date on a closed day is less sure than it looks, as a sentence: how many courses run over into the return of its people. */
import type { OverRestView } from "../../../src/contract/api/questions/over-rest.ts";
import { chanceText } from "../../present/amounts.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

/** `promised`: it is due; else the date is still to be promised. */
export function overRestText({ share, leave, back, hourEnough }: OverRestView, time: SiteTime, promised = true): string {
  const hour = hourEnough > 0 ? chanceText(hourEnough) : null;
  const say = promised ? words.howSure.overRest : words.howSure.overRestOfDate;
  return say(chanceText(share), time.dayTime(leave), time.dayTime(back), hour);
}
