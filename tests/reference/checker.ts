/**
 * Reference checker: the rules of the planning problem looked at minute by minute, written from its text alone and
 * without a look at the product's checker. Only for tiny problems (a few operations, a few thousand minutes).
 * Lists what two conflict lists are compared by: kind, operations, resource. Amounts are the product's own affair.
 */
import type { Link } from "../../src/core/orders/link.ts";
import type { Mode, Operation, Phase, RunningLot } from "../../src/core/orders/operation.ts";
import type { Plan, PlannedLot, PlannedPhase } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { amountAt, CALENDARS_BEGIN, Minutes, minutesOf } from "./minutes.ts";

export type ReferenceConflict = { kind: string; operations: string[]; resource: string | null };

type Lot = {
  op: Operation;
  index: number;
  mode: Mode | undefined;
  pieces: number;
  start: number;
  end: number;
  state: "done" | "running" | "free";
  plan: PlannedLot | null;
  running: RunningLot | null;
};

const ceilDiv = (a: number, b: number): number => Number((BigInt(a) + BigInt(b) - 1n) / BigInt(b));
const sameSet = (a: readonly string[], b: readonly string[]): boolean => [...a].sort().join("\n") === [...b].sort().join("\n");

export function referenceCheck(
  problem: Problem,
  plan: Plan,
  keptFrozen: ReadonlyMap<string, readonly PlannedLot[]> = new Map(),
): ReferenceConflict[] {
  const minutes = new Minutes(problem);
  const { now } = problem;
  const conflicts: ReferenceConflict[] = [];
  const movedLots = new Set<Lot>();
  const add = (kind: string, operations: string[], resource: string | null = null): void => {
    conflicts.push({ kind, operations: [...new Set(operations)].sort(), resource });
  };

  // ---- which lots there are
  const plannedOf = new Map(plan.operations.map((p) => [p.operation as string, p.lots]));
  const lotsOf = new Map<string, Lot[]>();
  const donePieces = (op: Operation): number => op.progress.done.reduce((sum, lot) => sum + lot.pieces, 0);
  const isDone = (op: Operation): boolean => op.progress.running.length === 0 && donePieces(op) >= op.pieces;
  const mayBeUnplanned = (op: Operation): boolean =>
    problem.runHourRules.some((rule) => {
      const at = rule.operations.indexOf(op.id);
      return at >= 0 && rule.operations.slice(at).every((id) => (plannedOf.get(id)?.length ?? 0) === 0);
    });
  for (const op of problem.operations) {
    const lots: Lot[] = op.progress.done.map((lot, index) => ({
      op,
      index,
      mode: op.modes.find((m) => m.id === lot.mode),
      pieces: lot.pieces,
      start: lot.start,
      end: lot.end,
      state: "done",
      plan: null,
      running: null,
    }));
    const planned = plannedOf.get(op.id) ?? [];
    planned.forEach((lot, i) => {
      lots.push({
        op,
        index: lots.length,
        mode: op.modes.find((m) => m.id === lot.mode),
        pieces: lot.pieces,
        start: lot.start,
        end: lot.end,
        state: op.progress.running[i] ? "running" : "free",
        plan: lot,
        running: op.progress.running[i] ?? null,
      });
    });
    lotsOf.set(op.id, lots);
    if (!isDone(op) && planned.length === 0 && !mayBeUnplanned(op)) add("notPlanned", [op.id]);
  }
  const allLots = [...lotsOf.values()].flat();
  const planLots = allLots.filter((lot) => lot.plan !== null);
  const order = (op: Operation) => {
    const found = problem.orders.find((o) => o.id === op.order);
    if (!found) throw new Error(`no order ${op.order}`);
    return found;
  };

  // ---- setup: the family left by the latest operation that starts earlier (then id, then lot) and has one there
  const earlier = (a: Lot, b: Lot): boolean =>
    a.start !== b.start ? a.start < b.start : a.op.id !== b.op.id ? a.op.id < b.op.id : a.index < b.index;
  const familyBefore = (lot: Lot, machineId: string): string | number | null => {
    let best: Lot | null = null;
    for (const other of allLots) {
      const at = other.mode?.machines.indexOf(machineId) ?? -1;
      if (other === lot || at < 0 || other.mode?.families[at] == null || !earlier(other, lot)) continue;
      if (best === null || earlier(best, other)) best = other;
    }
    if (best?.mode) return best.mode.families[best.mode.machines.indexOf(machineId)] ?? null;
    return minutes.machine(machineId).family;
  };
  const setupOf = (lot: Lot): number => {
    let most = 0;
    lot.mode?.machines.forEach((id, i) => {
      const to = lot.mode?.families[i];
      const from = familyBefore(lot, id);
      const rule = minutes.machine(id).setup;
      if (to == null || from === null || rule.kind === "none") return;
      if (rule.kind === "table") {
        const row = rule.table.minutes[rule.table.families.indexOf(String(from))];
        most = Math.max(most, row?.[rule.table.families.indexOf(String(to))] ?? 0);
      } else if (from !== to) {
        most = Math.max(most, ceilDiv(Math.abs(Number(from) - Number(to)), rule.rampPerMinute) + rule.settling);
      }
    });
    return most;
  };

  /** Worked minutes after which the first i pieces are out. */
  const pieceOffset = (phase: Phase, i: number): number =>
    phase.work.kind === "perPiece" ? ceilDiv(i * phase.work.seconds, 60) : 0;
  const nominal = (phase: Phase, pieces: number): number =>
    phase.work.kind === "fixed" ? phase.work.minutes : pieceOffset(phase, pieces);

  /** For the current phase of a running lot: worked minutes from now at which piece i is out; may be <= 0. */
  const runningOffset = (lot: Lot, phase: Phase, i: number): number => {
    const { running } = lot;
    if (!running) throw new Error("not running");
    return running.remaining - (nominal(phase, running.pieces) - pieceOffset(phase, i));
  };
  const isCurrent = (lot: Lot, phaseIndex: number): boolean => lot.state === "running" && lot.running?.phase === phaseIndex;
  const isPast = (lot: Lot, phaseIndex: number): boolean => lot.state === "running" && phaseIndex < (lot.running?.phase ?? 0);

  const required = (lot: Lot, phaseIndex: number): number => {
    const phase = lot.mode?.phases[phaseIndex] as Phase;
    const { running } = lot;
    if (isCurrent(lot, phaseIndex) && running)
      return phase.work.kind === "perPiece" ? Math.max(0, runningOffset(lot, phase, lot.pieces)) : running.remaining;
    return nominal(phase, lot.pieces) + (phase.kind === "prepare" ? setupOf(lot) : 0);
  };

  // ---- each lot by itself
  for (const lot of planLots) {
    const planned = lot.plan as PlannedLot;
    const id = lot.op.id;
    if (!lot.mode) {
      add("modeNotOffered", [id]);
      continue;
    }
    const mode = lot.mode;
    const { running } = lot;
    const phaseAt = new Map(planned.phases.map((p) => [p.phase, p]));
    let previousEnd: number | null = lot.state === "running" ? now : null;
    for (let k = 0; k < mode.phases.length; k++) {
      if (isPast(lot, k)) continue;
      const phase = mode.phases[k] as Phase;
      const entry: PlannedPhase | undefined = phaseAt.get(k);
      const worked = entry ? minutesOf(entry.work) : [];
      const wanted = required(lot, k);
      if (worked.length !== wanted) {
        const setup = !isCurrent(lot, k) && phase.kind === "prepare" ? setupOf(lot) : 0;
        add(setup > 0 && worked.length < wanted ? "setupShort" : "wrongWork", [id]);
      }
      if (worked.length === 0 || !entry) continue;
      const first = worked[0] as number;
      const last = worked[worked.length - 1] as number;
      const current = isCurrent(lot, k);

      if (previousEnd !== null && !current) {
        if (first < previousEnd) add("phaseOrder", [id]);
        if (phase.maxWait !== null && first - previousEnd > phase.maxWait) add("phaseWait", [id]);
      }

      const badCrew =
        entry.crews.length !== phase.needs.length ||
        phase.needs.some((need, i) => !minutes.crew(entry.crews[i] as string)?.skills.includes(need.skill));
      if (badCrew) add("crewNotOffered", [id]);

      const unattended = minutes.unattended(mode, phase);
      const after = worked.filter((t) => t >= now);
      if (after.some((t) => !minutes.placeOpen(mode, t))) {
        const t = after.find((m) => !minutes.placeOpen(mode, m)) as number;
        const closed = mode.machines.find((m) => !minutes.machine(m).open.some(([a, b]) => a <= t && t < b));
        add("machineClosed", [id], closed ?? mode.calendar);
      }
      if (!unattended) {
        const missing = after.filter((t) => !minutes.crewsThere(phase, entry.crews, t));
        if (missing.length > 0) {
          const t = missing[0] as number;
          const short = [...minutes.ownNeeds(phase, entry.crews)].find(([crew, n]) => minutes.headcount(crew, t) < n);
          add("nobodyThere", [id], short?.[0] ?? null);
        }
      } else {
        if (after.some((t) => minutes.notAllowed(mode, t))) {
          const t = after.find((m) => minutes.notAllowed(mode, m)) as number;
          add("unattendedNotAllowed", [id], mode.machines.find((m) => minutes.notAllowed({ ...mode, machines: [m] }, t)) ?? null);
        }
        const long = after.filter((t) => minutes.tooLong(mode, t));
        if (long.length > 0)
          add(
            "unattendedTooLong",
            [id],
            mode.machines.find((m) => minutes.tooLong({ ...mode, machines: [m] }, long[0] as number)) ?? null,
          );
        const begins = after.filter((t) => !worked.includes(t - 1));
        const unstarted = begins.some((t) => {
          if (minutes.starter(lot.op, t)) return false;
          if (t === first && !current)
            return (
              t !== previousEnd ||
              (lot.state === "running" && previousEnd === now && k > 0 && !planned.phases.some((p) => p.phase < k))
            );
          if (t === first && current) return !(t === now && running?.working);
          return true;
        });
        if (unstarted) add("nobodyThere", [id]);
      }

      // flow
      const canGoOn = (t: number): boolean =>
        minutes.workable(mode, phase, entry.crews, t) && (!unattended || worked.includes(t - 1) || minutes.starter(lot.op, t));
      const gaps: number[] = [];
      for (let t = first; t < last; t++) if (!worked.includes(t)) gaps.push(t);
      if (phase.flow === "solid" && gaps.length > 0) add("flowBroken", [id]);
      if (phase.flow === "pausable" && gaps.some(canGoOn)) add("restedThoughWorkable", [id]);
      if (phase.flow === "piecewise" && worked.length === wanted) {
        const ends: number[] = [];
        for (let i = 1; i <= lot.pieces; i++) {
          const offset = current ? runningOffset(lot, phase, i) : pieceOffset(phase, i);
          if (offset > 0) ends.push(offset);
        }
        let broken = false;
        let rested = false;
        let from = 0;
        for (const end of ends) {
          const piece = worked.slice(from, end);
          if ((piece[piece.length - 1] as number) - (piece[0] as number) !== piece.length - 1) broken = true;
          if (from > 0)
            for (let t = (worked[from - 1] as number) + 1; t < (piece[0] as number); t++) {
              const fits = piece.every((_, i) => minutes.workable(mode, phase, entry.crews, t + i));
              if (fits && (!unattended || t === (worked[from - 1] as number) + 1 || minutes.starter(lot.op, t))) rested = true;
            }
          from = end;
        }
        if (broken) add("flowBroken", [id]);
        if (rested) add("restedThoughWorkable", [id]);
      }

      // running work goes on at the first minute its flow allows
      if (current && running) {
        let expected = now;
        if (phase.flow !== "solid") {
          const pieceLength =
            phase.flow === "piecewise"
              ? Math.min(
                  ...Array.from({ length: running.pieces }, (_, i) => runningOffset(lot, phase, i + 1)).filter((o) => o > 0),
                )
              : 1;
          const fits = (t: number): boolean => {
            for (let i = 0; i < pieceLength; i++) if (!minutes.workable(mode, phase, entry.crews, t + i)) return false;
            return !unattended || (t === now && running.working) || minutes.starter(lot.op, t);
          };
          while (expected < problem.horizon && !fits(expected)) expected++;
        }
        if (first !== expected) {
          add("runningMoved", [id]);
          movedLots.add(lot);
        }
      }
      previousEnd = last + 1;
    }

    // where the lot stands in time
    const binding = bindingMinute(lot);
    if (lot.state === "free") {
      if (lot.start < now) add("beforeNow", [id]);
      if (binding < order(lot.op).release) add("beforeRelease", [id]);
      if (lot.op.window.start !== null && lot.start < lot.op.window.start) add("outsideWindow", [id]);
      else if (lot.op.window.end !== null && lot.end > lot.op.window.end) add("outsideWindow", [id]);
    } else {
      if (planned.phases.some((p) => p.work.some(([a]) => a < now))) add("beforeNow", [id]);
      if (stillToBind(lot) && binding < order(lot.op).release) add("beforeRelease", [id]);
      if (lot.op.window.end !== null && lot.end > lot.op.window.end) add("outsideWindow", [id]);
    }
    if (lot.end > problem.horizon) add("pastHorizon", [id]);

    // calibration
    const lapsed = mode.machines.find((machineId) =>
      minutes.machine(machineId).calibrations.some((c) => {
        if (!lot.op.needsCalibrations.includes(c.name)) return false;
        const renewals = allLots.filter(
          (other) => other.op.calibrates.includes(c.name) && other.mode?.machines.includes(machineId) && other.end <= lot.start,
        );
        const due = renewals.length > 0 ? Math.max(...renewals.map((r) => r.end)) + c.interval : c.due;
        return lot.end > due;
      }),
    );
    if (lapsed !== undefined) add("calibrationLapsed", [id], lapsed);
  }

  /** The minute that release and links bind: the start, or with prepareEarly the first phase after prepare. */
  function bindingMinute(lot: Lot): number {
    if (!lot.op.prepareEarly || !lot.mode || !lot.plan) return lot.start;
    const next = lot.plan.phases.find((p) => lot.mode?.phases[p.phase]?.kind !== "prepare");
    return next?.work[0]?.[0] ?? (lot.plan.phases.length > 0 ? lot.end : lot.start);
  }
  /** A running lot whose binding minute still lies ahead: set up early, the run not begun. */
  function stillToBind(lot: Lot): boolean {
    if (lot.state === "free") return true;
    const { running } = lot;
    if (lot.state === "done" || !running || !lot.op.prepareEarly) return false;
    return lot.mode?.phases[running.phase]?.kind === "prepare";
  }

  // ---- operations
  for (const op of problem.operations) {
    const lots = lotsOf.get(op.id) ?? [];
    const planned = lots.filter((l) => l.plan !== null);
    if (planned.length === 0) continue;
    const total = lots.reduce((sum, l) => sum + l.pieces, 0);
    const limit = op.split?.lots ?? 1;
    const least = op.split?.minPieces ?? 1;
    const wrong =
      total !== op.pieces ||
      lots.some((l) => l.pieces < 1) ||
      (lots.length > 1 && (lots.length > limit || lots.some((l) => l.pieces < least))) ||
      planned.some((l, i) => i > 0 && l.start < (planned[i - 1] as Lot).start);
    if (wrong) add("lotsWrong", [op.id]);
    const { running } = op.progress;
    running.forEach((is, i) => {
      const lot = planned[i];
      if (lot === undefined || movedLots.has(lot)) return;
      const current = lot.plan?.phases.find((p) => p.phase === is.phase);
      const moved =
        lot.plan?.mode !== is.mode ||
        lot.start !== is.start ||
        lot.pieces > is.pieces ||
        (current !== undefined && current.crews.join("\n") !== is.crews.join("\n"));
      if (moved) add("runningMoved", [op.id]);
    });
    if (op.pin && running.length === 0 && op.progress.done.length === 0) {
      const { machines, start } = op.pin;
      const movedStart = start !== null && (planned[0] as Lot).start !== start;
      const movedMachines = machines !== null && planned.some((l) => l.mode !== undefined && !sameSet(l.mode.machines, machines));
      if (movedStart || movedMachines) add("pinMoved", [op.id]);
    }
    const kept = keptFrozen.get(op.id);
    if (kept && JSON.stringify(kept.map(frozenShape)) !== JSON.stringify((plannedOf.get(op.id) ?? []).map(frozenShape)))
      add("frozenMoved", [op.id]);
  }
  function frozenShape(lot: PlannedLot): unknown {
    return [lot.mode, lot.pieces, lot.start, lot.phases.map((p) => [p.phase, p.work, p.crews])];
  }

  // ---- links
  for (const link of problem.links) {
    for (const from of lotsOf.get(link.from) ?? []) for (const to of lotsOf.get(link.to) ?? []) checkLink(link, from, to);
  }
  function checkLink(link: Link, from: Lot, to: Lot): void {
    const pair = [from.op.id, to.op.id];
    if (link.kind === "sameMachine") {
      if (from.state !== "free" && to.state !== "free") return;
      if (from.mode && to.mode && !sameSet(from.mode.machines, to.mode.machines)) add("otherMachine", pair, link.id);
      return;
    }
    if (!from.mode || !to.mode) return;
    if (link.kind === "lag") {
      if (!stillToBind(to)) return;
      const lag = bindingMinute(to) - from.end;
      if (lag < link.minLag) add("lagShort", pair, link.id);
      if (link.maxLag !== null && lag > link.maxLag) add("lagLong", pair, link.id);
      return;
    }
    if (transferEarly(link.pieces, from, to)) add("transferEarly", pair, link.id);
  }

  /** Begin and end of each piece of a lot, numbered through the lots; null where it lies in the past. */
  function piecesOf(lot: Lot): { piece: number; begin: number; end: number }[] {
    const before = (lotsOf.get(lot.op.id) ?? []).slice(0, lot.index).reduce((sum, l) => sum + l.pieces, 0);
    const out: { piece: number; begin: number; end: number }[] = [];
    const phaseIndex = lot.mode?.phases.findIndex((p) => p.work.kind === "perPiece") ?? -1;
    const phase = lot.mode?.phases[phaseIndex];
    for (let i = 1; i <= lot.pieces; i++) {
      if (lot.state === "done" || !phase || isPast(lot, phaseIndex)) {
        out.push({ piece: before + i, begin: Number.NEGATIVE_INFINITY, end: Number.NEGATIVE_INFINITY });
        continue;
      }
      const worked = minutesOf(lot.plan?.phases.find((p) => p.phase === phaseIndex)?.work ?? []);
      const current = isCurrent(lot, phaseIndex);
      const endOffset = current ? runningOffset(lot, phase, i) : pieceOffset(phase, i);
      const beginOffset = current ? runningOffset(lot, phase, i - 1) : pieceOffset(phase, i - 1);
      const past = Number.NEGATIVE_INFINITY;
      const begin = beginOffset < 0 || (current && i === 1) ? past : (worked[beginOffset] ?? lot.end);
      const end = endOffset <= 0 ? past : (worked[endOffset - 1] ?? lot.end - 1) + 1;
      out.push({ piece: before + i, begin, end });
    }
    return out;
  }
  function transferEarly(q: number, from: Lot, to: Lot): boolean {
    if (to.state === "done") return false;
    const worked = piecesOf(from);
    const n = to.op.pieces;
    for (const piece of piecesOf(to)) {
      if (piece.begin === Number.NEGATIVE_INFINITY) continue;
      const upTo = Math.min(n, ceilDiv(piece.piece, q) * q);
      if (worked.some((w) => w.piece <= upTo && w.end > piece.begin)) return true;
    }
    // the next operation may not end first: said of the operations, so of the lots that end them
    const last = (lot: Lot): boolean =>
      (lotsOf.get(lot.op.id) ?? []).every((other) => other.end < lot.end || (other.end === lot.end && other.index <= lot.index));
    return last(from) && last(to) && to.end < from.end;
  }

  // ---- capacity, minute by minute
  const lastMinute = Math.max(now, ...allLots.map((l) => l.end));
  const stretches = (
    resource: string,
    kind: string,
    usersAt: (t: number) => { users: string[]; used: number; capacity: number },
  ): void => {
    let open: Set<string> | null = null;
    for (let t = now; t <= lastMinute; t++) {
      const { users, used, capacity } = usersAt(t);
      if (users.length > 0 && used > capacity) {
        open ??= new Set();
        for (const user of users) open.add(user);
      } else if (open) {
        add(kind, [...open], resource);
        open = null;
      }
    }
  };
  for (const machine of problem.machines)
    stretches(machine.id, "machineDoubleUse", (t) => {
      const there = allLots.filter((l) => l.mode?.machines.includes(machine.id) && l.start <= t && t < l.end);
      return { users: there.map((l) => l.op.id), used: there.length, capacity: 1 };
    });
  type Working = { op: string; lot: Lot; phase: Phase; entry: PlannedPhase; minutes: Set<number> };
  const working: Working[] = planLots.flatMap((lot) =>
    (lot.plan?.phases ?? []).flatMap((entry) => {
      const phase = lot.mode?.phases[entry.phase];
      return phase ? [{ op: lot.op.id, lot, phase, entry, minutes: new Set(minutesOf(entry.work)) }] : [];
    }),
  );
  for (const crew of problem.crews)
    stretches(crew.id, "crewShort", (t) => {
      let used = 0;
      const users: string[] = [];
      for (const w of working) {
        if (!w.minutes.has(t)) continue;
        const own = minutes.ownNeeds(w.phase, w.entry.crews).get(crew.id) ?? 0;
        if (own === 0 || minutes.headcount(crew.id, t) < own) continue;
        used += own;
        users.push(w.op);
      }
      return { users, used, capacity: minutes.headcount(crew.id, t) };
    });
  for (const supply of problem.supplies)
    stretches(supply.id, "supplyShort", (t) => {
      let used = 0;
      const users: string[] = [];
      for (const w of working) {
        if (!w.minutes.has(t)) continue;
        const own = minutes.ownDraws(w.phase).get(supply.id) ?? 0;
        if (own === 0) continue;
        used += own;
        users.push(w.op);
      }
      return { users, used, capacity: amountAt(supply.amount, t) };
    });
  for (const kit of problem.kits)
    stretches(kit.id, "kitShort", (t) => {
      let used = 0;
      const users: string[] = [];
      for (const lot of allLots)
        for (const hold of lot.op.kits)
          if (hold.kit === kit.id && lot.start <= t && t < lot.end) {
            used += hold.count;
            users.push(lot.op.id);
          }
      for (const span of problem.kitSpans) {
        if (span.kit !== kit.id) continue;
        const first = lotsOf.get(span.from) ?? [];
        const last = lotsOf.get(span.to) ?? [];
        if (first.length === 0 || last.length === 0) continue;
        const from = Math.min(...first.map((l) => l.start));
        const until = Math.max(...last.map((l) => l.end));
        if (from <= t && t < until) {
          used += span.count;
          users.push(span.from, span.to);
        }
      }
      return { users, used, capacity: amountAt(kit.count, t) };
    });

  // ---- orders and run hours
  for (const o of problem.orders) {
    const lots = allLots.filter((l) => l.op.order === o.id);
    const late = o.deadline === null ? [] : lots.filter((l) => l.end > (o.deadline as number) && l.end > now);
    if (late.length > 0)
      add(
        "afterDeadline",
        late.map((l) => l.op.id),
        o.id,
      );
  }
  for (const rule of problem.runHourRules) {
    let counter = rule.counter;
    let over = false;
    const on = planLots.filter((l) => l.mode?.machines.includes(rule.machine));
    const resets = new Set(
      rule.operations.flatMap((id) => {
        const lots = (lotsOf.get(id) ?? []).filter((l) => l.plan !== null);
        return lots.length > 0 ? [Math.max(...lots.map((l) => l.end))] : [];
      }),
    );
    for (let t = now; t <= lastMinute; t++) {
      if (resets.has(t)) counter = 0;
      const runs = working.filter((w) => on.includes(w.lot) && w.phase.kind === "run" && w.minutes.has(t));
      counter += runs.length;
      if (runs.length > 0 && counter > rule.limit) over = true;
    }
    if (over) add("maintenanceOverdue", [], rule.id);
  }
  return conflicts;
}

/** The comparable form of a conflict list: sorted lines of kind, operations and resource. */
export const conflictKeys = (
  list: readonly { kind: string; operations: readonly string[]; resource: string | null }[],
): string[] => list.map((c) => `${c.kind} [${[...c.operations].sort().join(",")}] ${c.resource ?? "-"}`).sort();

export { CALENDARS_BEGIN };
