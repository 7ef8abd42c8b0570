/** Which rig is free, which cannot and why, and who would have to move for an earlier window. */

import type { FreeWindowsAnswer, WindowWishInput } from "../../contract/api/questions/free-windows.ts";
import type { Moment } from "../../contract/file/field.ts";
import { minuteOfMoment } from "../../contract/file/moment.ts";
import { union } from "../../core/calendar/intervals.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import type { StepFunction } from "../../core/calendar/step-function.ts";
import { type WallClock, wallClock } from "../../core/calendar/wall-clock.ts";
import { freeWindows } from "../../core/plan/free-windows.ts";
import { abilityShortfall } from "../../core/plant/ability.ts";
import type { Machine } from "../../core/plant/machine.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";

export const freeWindowsQuestion = defineQuestion({
  kind: "freeWindows",
  allowed: ["viewer", "requester", "operator", "planner", "administrator"],
  answerTo({ problem, plan }, input, { onProgress, shouldStop }) {
    onProgress({ done: 0, total: null, word: "Windows tried on each rig" });
    return windowsAnswer(problem, plan, input, shouldStop);
  },
});

function windowsAnswer(problem: Problem, plan: Plan, input: WindowWishInput, shouldStop: () => boolean): FreeWindowsAnswer {
  const clock = wallClock(problem.zone, problem.origin);
  const earliest =
    input.earliest === null ? problem.now : Math.max(problem.now, minuteAt(clock, "earliest", input.earliest, "begin"));
  const before = input.before === null ? problem.horizon : minuteAt(clock, "before", input.before, "end");
  const unknown = input.machines?.find((id) => !problem.machines.some((machine) => machine.id === id));
  if (unknown !== undefined) throw new CannotAnswer(`There is no machine "${unknown}".`);
  const asked = problem.machines.filter(
    ({ id, kind }) =>
      (input.of === "any" || kind === input.of || input.machines !== null) && (input.machines?.includes(id) ?? true),
  );
  const judged = asked.map((machine) => ({ machine, reasons: reasonsOf(machine, input) }));
  const able = judged.filter(({ reasons }) => reasons.length === 0).map(({ machine }) => machine.id);
  const nameOf = (id: string): string => problem.machines.find((machine) => machine.id === id)?.name ?? id;
  const head = {
    why: [...whyNowhere(problem, input)],
    minutes: input.minutes,
    earliest,
    before,
    cannot: judged.flatMap(({ machine, reasons }) =>
      reasons.length === 0 ? [] : [{ machine: machine.id, name: machine.name, reasons: [...reasons] }],
    ),
  };
  if (able.length === 0) return { ...head, windows: [], better: [], full: [] };
  const outcome = freeWindows(
    problem,
    plan,
    {
      minutes: input.minutes,
      unattended: input.unattended,
      operatorSkill: input.skill,
      supplies: input.draws,
      needsCalibrations: input.calibrations,
      machines: able,
      earliest,
      before,
      restMost: input.restMost,
      windowsMost: input.windowsMost,
    },
    shouldStop,
  );
  if (!outcome.ok) throw new CannotAnswer(`${outcome.error.message}.`);
  const { windows, without, better } = outcome.value;
  const work = workOn(problem, plan);
  const starts = new Map(plan.operations.map(({ operation, lots }) => [operation, lots[0]?.start ?? null]));
  return {
    ...head,
    windows: windows.map(({ lot, ...window }) => ({
      ...window,
      name: nameOf(window.machine),
      after: work(window.machine).find(({ end }) => end === window.freeFrom)?.operation ?? null,
      next: work(window.machine).find(({ start }) => start === window.freeUntil)?.operation ?? null,
      crews: [...new Set(lot.phases.flatMap(({ crews }) => crews))],
      rests: window.rests.map(([from, until]): [number, number] => [from, until]),
    })),
    better: better.map(({ movesTo, ...window }) => {
      const operation = problem.operations.find(({ id }) => id === window.moves);
      const order = problem.orders.find(({ id }) => id === operation?.order);
      return {
        ...window,
        name: nameOf(window.machine),
        movesName: operation?.name ?? window.moves,
        order: order?.id ?? "",
        orderName: order?.name ?? "",
        movesFrom: starts.get(window.moves) ?? null,
        movesTo: movesTo?.start ?? null,
        movesOnto: [...(movesTo?.machines ?? [])],
        makesLate: movesTo?.makesLate ?? false,
      };
    }),
    full: without.map((machine) => ({ machine, name: nameOf(machine) })),
  };
}

/** Limits that no machine can lift: people's longest stretch, the most a supply ever gives. */
function whyNowhere(problem: Problem, { minutes, skill, unattended, draws, restMost }: WindowWishInput): readonly string[] {
  const why: string[] = [];
  const crews = skill === null ? problem.crews : problem.crews.filter(({ skills }) => skills.includes(skill));
  if (skill !== null) {
    const longest = Math.max(0, ...crews.map(({ headcount }) => longestAtLeast(headcount, PERSON)));
    if (longest < minutes && restMost === 0)
      why.push(
        `Nobody with the skill ${skill} works ${hours(minutes)} without a break; the longest stretch is ${hours(longest)}. Allow it to rest over breaks, if it can.`,
      );
  } else if (!unattended && crews.length > 0) {
    const longest = Math.max(0, ...union(...crews.map(({ present }) => present)).map(([start, end]) => end - start));
    if (longest < minutes)
      why.push(`Somebody is on site for ${hours(longest)} at a stretch at most; ${hours(minutes)} are asked for.`);
  }
  for (const { supply, amount } of draws) {
    const known = problem.supplies.find(({ id }) => id === supply);
    const most = Math.max(0, ...(known?.amount.value ?? []));
    if (known && most < amount)
      why.push(`${known.name} gives ${most} ${known.unit} at most; ${amount} ${known.unit} are asked for.`);
  }
  return why;
}

/** Hundredths. */
const PERSON = 100;
const hours = (minutes: number): string =>
  `${Math.floor(minutes / 60)} h${minutes % 60 === 0 ? "" : ` ${String(minutes % 60).padStart(2, "0")}`}`;

function longestAtLeast({ at, value }: StepFunction, least: number): number {
  let longest = 0;
  let since: number | null = null;
  for (const [i, amount] of value.entries()) {
    if (amount >= least) since ??= at[i] ?? 0;
    else {
      if (since !== null) longest = Math.max(longest, (at[i] ?? since) - since);
      since = null;
    }
  }
  return longest;
}

function reasonsOf(machine: Machine, input: WindowWishInput): readonly string[] {
  const reasons = input.needs.flatMap((need) => abilityShortfall(machine.abilities, need) ?? []);
  for (const name of input.calibrations)
    if (!machine.calibrations.some((calibration) => calibration.name === name)) reasons.push(`has no ${name} calibration`);
  return reasons;
}

export function minuteAt(clock: WallClock, field: string, moment: Moment, side: "begin" | "end"): Minute {
  const minute = minuteOfMoment(moment, side, clock);
  if (!minute.ok) throw new CannotAnswer(`${field}: ${minute.error}`);
  return minute.value;
}

/** What lies on each machine in the plan. */
function workOn(problem: Problem, plan: Plan) {
  const machinesOf = new Map(
    problem.operations.flatMap((operation) =>
      operation.modes.map((mode) => [`${operation.id}\n${mode.id}`, mode.machines] as const),
    ),
  );
  const lots = plan.operations.flatMap(({ operation, lots: placed }) =>
    placed.map(({ mode, start, end }) => ({ operation, start, end, machines: machinesOf.get(`${operation}\n${mode}`) ?? [] })),
  );
  return (machine: string) => lots.filter(({ machines }) => machines.includes(machine));
}
