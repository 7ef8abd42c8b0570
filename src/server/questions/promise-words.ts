/** What a promised date assumes, as sentences that can be quoted to whoever asked. */
import type { Assumption } from "../../core/plan/promise.ts";
import type { Problem } from "../../core/problem/problem.ts";
import type { ThreePoint } from "../../core/risk/pert.ts";
import type { RiskProfile } from "../../core/risk/risk-profile.ts";
import { inWords } from "../actions/dates.ts";

export function assumptionSentence(problem: Problem, assumption: Assumption): string {
  switch (assumption.kind) {
    case "materialOnHand":
      return `Material and drawings are on hand by ${inWords(problem, assumption.at)}.`;
    case "pieces": {
      const { good, toStart, scrapPerMille } = assumption;
      return toStart === good
        ? `${count(good, "piece")}, with no scrap expected.`
        : `${count(good, "good piece")}: ${toStart} are started, because ${scrapPerMille / 10} % scrap is expected.`;
    }
    case "asPlanned":
      return assumption.conflicts === 0
        ? `The ${count(assumption.operations, "operation")} planned beside it go as the draft plan says.`
        : `The ${count(assumption.operations, "operation")} planned beside it go as the draft plan says; ${count(assumption.conflicts, "conflict")} of that plan ${assumption.conflicts === 1 ? "is" : "are"} still to be solved.`;
    case "nothingElseOrdered":
      return "No other order takes the slot before this one is confirmed.";
    case "outsideWork": {
      const operation = problem.operations.find(({ id }) => id === assumption.operation);
      return `${operation?.name ?? assumption.operation} is done outside our shop in the time planned for it.`;
    }
    case "worksUnattended":
      return `${duration(assumption.minutes)} of it run while nobody is on site, where the shop's own rules allow that.`;
  }
}

/** What the simulation lets vary; the figures are those of the profile it used. */
export function riskSentences({ durations, material, stops, stayMinutes }: RiskProfile, runs: number): readonly string[] {
  const { best, worst } = material.delayMinutes;
  return [
    `The dates at 80 and 95 % come from ${runs} simulated courses of the plan: machine runs take ${range(durations.run)}, setups ${range(durations.prepare)} of the planned time.`,
    material.chance > 0
      ? `In ${Math.round(material.chance * 100)} % of the cases material that is still to come is late, by ${duration(best)} to ${duration(worst)}.`
      : "Material is taken to come in time.",
    Object.keys(stops).length === 0
      ? "Machine stops are not in these dates: no rates are recorded."
      : "Machine stops are in these dates at their recorded rates.",
    stayMinutes > 0
      ? `Work that takes longer than planned is ended up to ${duration(stayMinutes)} past closing.`
      : "Nobody stays past closing, but for work that may not be interrupted.",
  ];
}

const count = (n: number, one: string): string => `${n} ${one}${n === 1 ? "" : "s"}`;
const range = ({ best, worst }: ThreePoint): string => `${Math.round(best * 100)} to ${Math.round(worst * 100)} %`;

/** "3 h 40", "45 min", "2 d 4 h". */
function duration(minutes: number): string {
  const [days, hours, rest] = [Math.floor(minutes / 1440), Math.floor((minutes % 1440) / 60), minutes % 60];
  if (days > 0) return hours > 0 ? `${days} d ${hours} h` : `${days} d`;
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${String(rest).padStart(2, "0")}`;
}
