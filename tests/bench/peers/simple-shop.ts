/**
 * A generated shop made so simple that a general-purpose model can say all of it: every operation is set up by a person, as long as
 * the family before it on the machine asks, then runs in one piece, attended or alone; two shifts, five days;
 * machines shut during service; DC supply, lags, releases; weighted tardiness and nothing else. Left out of the full shop: rests,
 * pieces, unloading. Due dates come closer by a share, since the work is less. Both the engine and CP-SAT get
 * this very problem, and the checker judges both plans on it.
 */
import { generateShop, type ShopSize } from "../../../seed/shop-generator.ts";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import { subtract } from "../../../src/core/calendar/intervals.ts";
import { present } from "../../../src/core/ground/invariant.ts";
import { workMinutes } from "../../../src/core/orders/operation.ts";
import { NO_WEIGHTS } from "../../../src/core/problem/objective.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import type { CpSatAnswer, CpSatMode, CpSatModel } from "./cp-sat.ts";

/** An attended run must fit the 960 minutes of a working day; longer ones are cut to this. */
const ATTENDED_MINUTES_MAX = 840;
/** Kept share of the time from release to due. */
const DUE_SHARE = 0.8;

export function simpleShop(size: ShopSize, seed: number): Problem {
  const read = readProblemFile(generateShop(size, seed));
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const full = read.value;
  return {
    ...full,
    name: `Simplified shop ${size}, seed ${seed}`,
    weights: { ...NO_WEIGHTS, tardiness: 1 },
    orders: full.orders.map((order) => ({
      ...order,
      due: order.due === null ? null : order.release + Math.round((order.due - order.release) * DUE_SHARE),
    })),
    operations: full.operations.map((operation) => ({
      ...operation,
      // Alone means alone: nobody is needed to start a run, which a cumulative constraint could not say.
      selfStart: true,
      modes: operation.modes.map((mode) => ({
        ...mode,
        phases: mode.phases
          .filter((phase) => phase.kind !== "clear")
          .map((phase) => {
            const minutes = workMinutes(phase.work, operation.pieces);
            const attended = phase.kind === "run" && phase.needs.length > 0;
            return {
              ...phase,
              flow: "solid" as const,
              work: { kind: "fixed" as const, minutes: attended ? Math.min(minutes, ATTENDED_MINUTES_MAX) : minutes },
            };
          }),
      })),
    })),
  };
}

/** Nothing good ends much later than the rule's plan; a near end of time keeps the model small. */
const HORIZON_SPARE = 7 * 1440;

/** The same problem in the words of cp-sat.py. `hint`: a plan to start from, whose end bounds the time looked at. */
export function cpSatOfSimpleShop(problem: Problem, hint: Plan): CpSatModel {
  const machineIndex = new Map(problem.machines.map(({ id }, i) => [id, i]));
  const operationIndex = new Map(problem.operations.map(({ id }, i) => [id, i]));
  const supplyIndex = new Map(problem.supplies.map(({ id }, i) => [id, i]));
  const crewOf = (skill: string | undefined): number | null => {
    if (skill === undefined) return null;
    const serving = problem.crews.flatMap((crew, i) => (crew.skills.includes(skill) ? [i] : []));
    if (serving.length !== 1) throw new Error(`the model knows one crew a skill; ${skill} has ${serving.length}`);
    return serving[0] as number;
  };
  const families = problem.machines.map(({ setup }) => (setup.kind === "table" ? setup.table.families : []));
  const hinted = new Map(hint.operations.map((planned) => [planned.operation, planned.lots[0]]));
  const latest = Math.max(...hint.operations.flatMap(({ lots }) => lots.map(({ end }) => end)));
  const horizon = Math.min(problem.horizon, latest + HORIZON_SPARE);
  return {
    objective: "tardiness",
    horizon,
    machines: problem.machines.map((machine, m) => ({
      setups: machine.setup.kind === "table" ? machine.setup.table.minutes : null,
      family: Math.max(0, present(families[m], "families").indexOf(String(machine.family))),
      closed: [...subtract([[0, horizon]], machine.open)],
    })),
    crews: problem.crews.map(({ headcount }) => {
      const people = Math.max(...headcount.value) / 100;
      const away = headcount.at.flatMap((at, i): [number, number, number][] => {
        const until = Math.min(headcount.at[i + 1] ?? horizon, horizon);
        const missing = people - (headcount.value[i] as number) / 100;
        return missing > 0 && until > 0 && at < until ? [[Math.max(0, at), until, missing]] : [];
      });
      return { people, away };
    }),
    supplies: problem.supplies.map(({ amount }) => Math.max(...amount.value)),
    operations: problem.operations.map((operation) => {
      const order = present(
        problem.orders.find(({ id }) => id === operation.order),
        "order",
      );
      const lot = hinted.get(operation.id);
      const begin = (phase: number): number => lot?.phases.find((planned) => planned.phase === phase)?.work[0]?.[0] ?? 0;
      return {
        release: Math.max(0, order.release),
        modes: operation.modes.map((mode): CpSatMode => {
          const [prepare, run] = mode.phases;
          const machine = present(machineIndex.get(present(mode.machines[0], "machine")), "machine");
          return {
            machine,
            family: Math.max(0, present(families[machine], "families").indexOf(String(mode.families[0]))),
            prepare: prepare ? workMinutes(prepare.work, operation.pieces) : 0,
            prepareCrew: crewOf(prepare?.needs[0]?.skill),
            run: run ? workMinutes(run.work, operation.pieces) : 0,
            runCrew: crewOf(run?.needs[0]?.skill),
            draws: (run?.draws ?? []).map(({ supply, amount }) => [present(supplyIndex.get(supply), "supply"), amount] as const),
          };
        }),
        ...(lot ? { hint: [operation.modes.findIndex(({ id }) => id === lot.mode), begin(0), begin(1)] as const } : {}),
      };
    }),
    links: problem.links.map((link) => [
      present(operationIndex.get(link.from), "operation"),
      present(operationIndex.get(link.to), "operation"),
      link.kind === "lag" ? link.minLag : 0,
    ]),
    orders: problem.orders.flatMap((order) =>
      order.due === null
        ? []
        : [
            {
              due: order.due,
              weight: order.weight,
              operations: problem.operations.flatMap((operation, i) => (operation.order === order.id ? [i] : [])),
            },
          ],
    ),
  };
}

/** What CP-SAT placed, as a plan for the checker: the prepare as long as its setup made it. */
export function planOfCpSat(problem: Problem, placed: NonNullable<CpSatAnswer["placed"]>): Plan {
  const chosen = problem.operations.map((operation, i) => {
    const [m, begin, run, end] = placed[i] as (typeof placed)[number];
    const mode = present(operation.modes[m], "mode");
    return { operation, mode, machine: mode.machines[0], begin, run, end };
  });
  const lengths = new Map<string, number>();
  for (const machine of problem.machines) {
    let family = machine.family;
    const order = chosen.filter((one) => one.machine === machine.id).sort((a, b) => a.begin - b.begin);
    for (const { operation, mode } of order) {
      const next = mode.families[0] ?? null;
      const prepare = mode.phases[0];
      const table = machine.setup.kind === "table" ? machine.setup.table : null;
      const setup =
        table && family !== null && next !== null
          ? (table.minutes[table.families.indexOf(String(family))]?.[table.families.indexOf(String(next))] ?? 0)
          : 0;
      lengths.set(operation.id, setup + (prepare ? workMinutes(prepare.work, operation.pieces) : 0));
      family = next ?? family;
    }
  }
  const crewsFor = (skills: readonly string[]): readonly string[] =>
    skills.map(
      (skill) =>
        present(
          problem.crews.find((crew) => crew.skills.includes(skill)),
          "crew",
        ).id,
    );
  return {
    operations: chosen.map(({ operation, mode, begin, run, end }) => ({
      operation: operation.id,
      lots: [
        {
          mode: mode.id,
          pieces: operation.pieces,
          start: begin,
          end,
          phases: mode.phases.map(({ needs }, phase) => ({
            phase,
            work: [
              phase === 0 ? ([begin, begin + present(lengths.get(operation.id), "prepare")] as const) : ([run, end] as const),
            ],
            crews: crewsFor(needs.map(({ skill }) => skill)),
          })),
        },
      ],
    })),
  };
}
