/** A lever as the change of a what-if that pulls it, so that what was found for an order can be kept as a scenario. */
import type { Lever } from "../../core/scenario/lever-candidates.ts";
import type { ScenarioChange } from "./change.ts";

export function changeOfLever(lever: Lever): ScenarioChange {
  switch (lever.kind) {
    case "crewHours": {
      const { crew, machines, start, end } = lever;
      return { kind: "moreHours", crew, machines: [...machines], people: null, unsocial: true, when: { start, end } };
    }
    case "machineHours": {
      const { machine, start, end } = lever;
      return { kind: "moreHours", crew: null, machines: [machine], people: null, unsocial: true, when: { start, end } };
    }
    case "qualify":
    case "split":
    case "buy":
      return lever;
  }
}
