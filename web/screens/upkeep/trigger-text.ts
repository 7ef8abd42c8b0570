/** What makes an upkeep rule speak, in words. */
import type { UpkeepRuleInFile } from "../../../src/contract/api/upkeep.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.upkeep.triggers;

export function triggerText(trigger: UpkeepRuleInFile["trigger"], time: SiteTime): string {
  switch (trigger.kind) {
    case "days":
      return trigger.counted === "lastDone" ? w.daysSince(trigger.every) : w.days(trigger.every, dayOf(trigger.first, time));
    case "runHours":
      return w.runHours(trigger.rule);
    case "calibration":
      return w.calibration(trigger.calibration);
  }
}

const dayOf = (date: string, time: SiteTime): string => {
  const minute = time.minuteOf(date, "begin");
  return minute === null ? date : time.dayWithYear(minute);
};
