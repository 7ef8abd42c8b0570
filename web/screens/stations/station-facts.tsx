/** What whoever stands at the machine must know before loading it: until when people are there, whether it may run alone, what is calibrated until when. */
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { subtract, union } from "../../../src/core/calendar/intervals.ts";
import { renewedDue } from "../../../src/core/plan/due-list.ts";
import type { Machine } from "../../../src/core/plant/machine.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import type { Figure } from "../../parts/page.tsx";
import { durationText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.stations.facts;
/** Time enough to get a calibration date. */
const WARN_AHEAD = 14 * 1440;

export function stationFacts(view: PlanView, machine: Machine, time: SiteTime): readonly Figure[] {
  const problem = view.problem as Problem;
  const calibrations = machine.calibrations.map(({ name }) => {
    const until = renewedDue(problem, machine, name);
    const soon = until < time.now + WARN_AHEAD;
    // A day counts to its 24:00.
    const day = until <= time.now ? w.lapsed : w.until(time.day(until - 1));
    return (
      <span key={name} className={soon ? "late" : undefined}>
        {name} {day}
      </span>
    );
  });
  return [
    { label: w.people, value: peopleText(problem, time), how: w.peopleHow },
    { label: w.alone, value: aloneText(machine), how: w.aloneHow },
    ...(calibrations.length === 0 ? [] : [{ label: w.calibration, value: calibrations, how: w.calibrationHow }]),
  ];
}

function peopleText({ crews, horizon }: Problem, time: SiteTime): string {
  const onSite = union(...crews.map((crew) => crew.present));
  const now = onSite.find(([start, end]) => start <= time.now && time.now < end);
  if (now) return w.peopleUntil(time.short(now[1]));
  const away = subtract([[time.now, horizon]], onSite)[0];
  return away === undefined || away[1] >= horizon ? w.nobody : w.nobodyUntil(time.short(away[1]));
}

function aloneText({ unattended }: Machine): string {
  if (unattended.kind === "never") return w.never;
  return unattended.maxMinutes === null ? w.allowed : w.allowedFor(durationText(unattended.maxMinutes));
}
