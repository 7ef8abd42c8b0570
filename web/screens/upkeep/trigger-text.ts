/** What makes an upkeep rule speak, in words. */
import type { UpkeepRuleInFile } from "../../../src/contract/api/upkeep.ts";
import { words } from "../../words/words.ts";

const w = words.upkeep.triggers;

export function triggerText(trigger: UpkeepRuleInFile["trigger"]): string {
  switch (trigger.kind) {
    case "days":
      return w.days(trigger.every, trigger.first);
    case "runHours":
      return w.runHours(trigger.rule);
    case "calibration":
      return w.calibration(trigger.calibration);
  }
}
