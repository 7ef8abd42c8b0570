/** Which unattended work could start before people leave. Whether a machine may be left alone is for local rules to decide. */
import type { NightFillAnswer } from "../../contract/api/questions/night-fill.ts";
import { nightFill } from "../../core/plan/night-fill.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";

const DAY = 1440;

export const nightFillQuestion = defineQuestion({
  kind: "nightFill",
  allowed: ["viewer", "requester", "operator", "planner", "administrator"],
  answerTo({ problem, plan }, input, { shouldStop, onProgress }) {
    const unknown = input.machines?.find((id) => !problem.machines.some((machine) => machine.id === id));
    if (unknown !== undefined) throw new CannotAnswer(`There is no machine "${unknown}".`);
    const fill = nightFill(problem, plan, {
      until: problem.now + input.days * DAY,
      ...(input.machines === null ? {} : { machines: input.machines }),
      moves: input.moves,
      gainLeast: input.leastMinutes,
      shouldStop,
      onProgress: (done, total) => onProgress({ done, total, word: "Nights of machines looked at" }),
    });
    const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
    const machines = new Map(problem.machines.map((machine) => [machine.id, machine]));
    const answer = {
      ...fill,
      proposals: fill.proposals.map((proposal) => ({
        ...proposal,
        order: operations.get(proposal.operation)?.order ?? "",
        name: operations.get(proposal.operation)?.name ?? proposal.operation,
        machineName: machines.get(proposal.machine)?.name ?? proposal.machine,
      })),
    };
    return answer as unknown as NightFillAnswer; // the same plain data; the core's lists are read-only
  },
});
