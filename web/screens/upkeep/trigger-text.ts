/** What makes an upkeep rule speak, in words. */
import type { UpkeepRuleInFile } from "../../../src/contract/api/upkeep.ts";
import { hoursText } from "../../present/amounts.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.upkeep.triggers;

/** A run-hour rule has no name of its own: its limit says which one is meant. */
type RunHourRules = readonly { readonly id: string; readonly limit: number }[];

export function triggerText(trigger: UpkeepRuleInFile["trigger"], time: SiteTime, counted: RunHourRules): string {
  switch (trigger.kind) {
    case "days":
      return trigger.counted === "lastDone" ? w.daysSince(trigger.every) : w.days(trigger.every, dayOf(trigger.first, time));
    case "runHours":
      return runHoursText(trigger.rule, counted);
    case "calibration":
      return w.calibration(trigger.calibration);
  }
}

export function runHoursText(rule: string, counted: RunHourRules): string {
  const known = counted.find(({ id }) => id === rule);
  return known ? w.runHours(hoursText(known.limit)) : w.runHoursGone;
}

const dayOf = (date: string, time: SiteTime): string => {
  const minute = time.minuteOf(date, "begin");
  return minute === null ? date : time.dayWithYear(minute);
};
