/**
 * A shop as easy as it could ever be for one order: what may give way is left out, and so are the rules that only others make
 * hard; each mode of its work stands there once for each setup it could find (least-setup.ts), with when. For bounds, not for plans.
 */
import type { Minute } from "../calendar/minute.ts";
import { ceilDivide } from "../ground/rounding.ts";
import type { Link } from "../orders/link.ts";
import type { Mode, ModeId, Operation, OperationId } from "../orders/operation.ts";
import type { Problem } from "../problem/problem.ts";
import { FAR } from "../solve/decode/model.ts";
import { firstCut } from "./first-cut.ts";
import type { LeastSetup, LeastSetups } from "./least-setup.ts";
import type { Wanted } from "./wanted-order.ts";

/** The order's operations and all they follow, of other orders too. */
function concernedBy(problem: Problem, order: string): ReadonlySet<OperationId> {
  const found = new Set(problem.operations.filter((operation) => operation.order === order).map(({ id }) => id));
  for (const id of found)
    for (const link of problem.links) if (link.to === id && link.kind !== "sameMachine") found.add(link.from);
  return found;
}

export type EasyShop = {
  readonly shop: Problem;
  /** The setup of each mode of free work, by operation and mode. */
  readonly setups: ReadonlyMap<string, LeastSetup>;
};

/**
 * The shop with what is concerned, as easy as it could ever be, beside what has begun or is frozen; `beside`: all else stays as well, as
 * it is.
 */
export function thinned(
  { problem, order }: Pick<Wanted, "problem" | "order">,
  isFixed: (operation: Operation) => boolean,
  setups: LeastSetups,
  beside = false,
): EasyShop {
  const concerned = concernedBy(problem, order.id);
  const found = new Map<string, LeastSetup>();
  // what is due by run hours may stay unplanned
  const optional = new Set(problem.runHourRules.flatMap((rule) => rule.operations));
  const stays = (operation: Operation): boolean =>
    isFixed(operation) ||
    (beside && operation.order !== order.id) ||
    (concerned.has(operation.id) && !optional.has(operation.id));
  const gone = problem.operations.filter((operation) => !stays(operation)).map(({ id }) => id);
  const operations = problem.operations.filter(stays).map((operation): Operation => {
    if (beside && operation.order !== order.id) return operation;
    const least = operation.modes.map((mode) =>
      withSetup(mode, Math.min(...setups(operation, mode).map(({ minutes }) => minutes))),
    );
    if (isFixed(operation))
      return { ...cutAtOnce(operation), modes: concerned.has(operation.id) || beside ? least : operation.modes };
    const { split, pieces } = operation;
    const modes = operation.modes.flatMap((mode) =>
      setups(operation, mode).map((setup, i): Mode => {
        const id = i === 0 ? mode.id : `${mode.id}${NEXT.repeat(i)}`;
        found.set(`${operation.id} ${id}`, setup);
        return { ...withSetup(mode, setup.minutes), id };
      }),
    );
    return {
      ...operation,
      modes,
      pieces: split === null ? pieces : Math.max(split.minPieces, ceilDivide(pieces, split.lots)),
      split: null,
      needsCalibrations: [],
      calibrates: [],
    };
  });
  const links = problem.links.flatMap((link): Link[] => (link.kind === "lag" ? [{ ...link, maxLag: null }] : []));
  const shop = leaving(
    {
      ...{ ...problem, operations, links, kitSpans: [], runHourRules: [], published: null, freeze: null },
      orders: problem.orders.map((order) => ({ ...order, due: problem.now, deadline: null })),
    },
    new Set(gone),
  );
  return { shop, setups: found };
}

/** Marks the same mode with another of its setups. */
const NEXT = "\u0000";

/** No family to change from or to; so much setup. */
const withSetup = (mode: Mode, setup: Minute): Mode => ({
  ...mode,
  families: mode.families.map(() => null),
  phases: mode.phases.map((phase) =>
    phase.kind === "prepare" && phase.work.kind === "fixed"
      ? { ...phase, work: { kind: "fixed", minutes: phase.work.minutes + setup } }
      : phase,
  ),
});

/** Running lots that may be cut end as soon as they could. */
const cutAtOnce = (operation: Operation): Operation =>
  operation.progress.running.reduce((cut, _, lot) => firstCut(cut, lot) ?? cut, operation);

export const leaving = (problem: Problem, gone: ReadonlySet<OperationId>): Problem => ({
  ...problem,
  operations: problem.operations.filter(({ id }) => !gone.has(id)),
  links: problem.links.filter(({ from, to }) => !gone.has(from) && !gone.has(to)),
});

/** As if somebody had left the best family long ago. */
export const leastOf = (setups: readonly LeastSetup[]): readonly LeastSetup[] => [
  { minutes: Math.min(...setups.map(({ minutes }) => minutes)), from: -FAR, until: FAR },
];

/** Of the setups of each mode the one it was placed with, or the least it could find where it may begin. */
export function asFound({ id, modes }: Operation, { setups }: EasyShop, used: ModeId | null, floor: Minute): readonly Mode[] {
  const own = (mode: Mode): ModeId => mode.id.split(NEXT)[0] ?? mode.id;
  const best = new Map<ModeId, Mode>();
  for (const mode of modes) {
    const setup = setups.get(`${id} ${mode.id}`);
    const isFound = setup === undefined || (setup.from <= floor && floor < setup.until);
    if (mode.id === used || (isFound && best.get(own(mode))?.id !== used) || !best.has(own(mode))) best.set(own(mode), mode);
  }
  return [...best.values()];
}
