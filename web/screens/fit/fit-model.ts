/** Answers side by side: each measure with its words and which answer is best in it; the plan an answer makes; when a hold ends. Pure. */
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import { union } from "../../../src/core/calendar/intervals.ts";
import type { Plan, PlannedOperation } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { applyEdit } from "../../board/plan-edit.ts";
import { signedMoneyText, signedText } from "../../present/amounts.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.fit;
/** Longer lists in a cell are cut. */
const LINES_MAX = 5;

export type Cell = { readonly lines: readonly string[]; readonly best: boolean; readonly tone: "late" | null };
export type MeasureKey = keyof typeof w.rows;
export type Measure = {
  readonly key: MeasureKey;
  readonly label: string;
  readonly how: string | null;
  readonly cells: readonly Cell[];
};

export const labelOf = ({ labels }: Pick<FitAnswer, "labels">): string =>
  labels.length === 0 ? w.labels.between : labels.map((label) => w.labels[label]).join(", ");

export function planWith(draft: Plan, { changes, removed }: Pick<FitAnswer, "changes" | "removed">): Plan {
  const planned = changes as readonly PlannedOperation[];
  return applyEdit(draft, {
    note: "",
    changes: [
      ...planned.map((one) => ({ operation: one.operation, planned: one })),
      ...removed.map((operation) => ({ operation, planned: null })),
    ],
  });
}

type Subject = {
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly due: number | null;
  readonly before: { readonly finish: number | null; readonly cost: { readonly total: number } };
};

type Row = {
  readonly lines: (fit: FitAnswer) => readonly string[];
  /** What the best is chosen by, less being better; null: nothing is best. */
  readonly by: ((fit: FitAnswer) => number) | null;
  readonly late?: (fit: FitAnswer) => boolean;
};

export function measures(answers: readonly FitAnswer[], { problem, time, due, before }: Subject): readonly Measure[] {
  const machineName = (id: string): string => problem.machines.find((machine) => machine.id === id)?.name ?? id;
  const crewName = (id: string): string => problem.crews.find((crew) => crew.id === id)?.name ?? id;
  const rows: Record<MeasureKey, Row | null> = {
    finish: { lines: (fit) => [time.dayTime(fit.finish)], by: (fit) => fit.finish },
    due:
      due === null
        ? null
        : {
            lines: (fit) => [fit.late > 0 ? w.lateBy(fit.late) : w.inTime(due - fit.finish)],
            by: (fit) => fit.late,
            late: (fit) => fit.late > 0,
          },
    sooner: before.finish === null ? null : { lines: (fit) => [w.sooner((before.finish ?? 0) - fit.finish)], by: null },
    moved: {
      lines: (fit) => [w.movedBy(fit.moved.length, Math.max(0, ...fit.moved.map(({ minutes }) => Math.abs(minutes))))],
      by: (fit) => fit.moved.length,
    },
    orders: { lines: (fit) => [fit.ordersMoved === 0 ? w.none : String(fit.ordersMoved)], by: (fit) => fit.ordersMoved },
    later: {
      lines: (fit) =>
        cut(
          fit.orders
            .filter(({ before }) => before !== null)
            .sort((a, b) => b.minutes - a.minutes)
            .map(({ order, minutes }) => w.orderBy(order, minutes)),
        ),
      by: (fit) => fit.orders.filter(({ minutes }) => minutes > 0).length,
    },
    late: {
      lines: (fit) =>
        cut(fit.ordersLate.map(({ order, lateAfter, lateBefore, weight }) => w.orderLate(order, lateAfter - lateBefore, weight))),
      by: (fit) => fit.lateness,
      late: (fit) => fit.ordersLate.length > 0,
    },
    machines: { lines: (fit) => listed(fit.machines.map(machineName)), by: (fit) => fit.machines.length },
    people: { lines: (fit) => listed(fit.crews.map(crewName)), by: (fit) => fit.crews.length },
    cuts: answers.some(({ cuts }) => cuts.length > 0)
      ? {
          lines: (fit) =>
            cut(
              fit.cuts.map(({ operation, lots, extraMinutes, running }) => w.cut(operation, lots.length, extraMinutes, running)),
            ),
          by: (fit) => fit.cuts.length,
        }
      : null,
    night: { lines: (fit) => [w.night(fit.nightMinutes, fit.nightMinutesChange)], by: null },
    money: answers.some(({ money }) => money !== null)
      ? { lines: (fit) => [moneyText(fit)], by: (fit) => fit.money?.total ?? Number.POSITIVE_INFINITY }
      : null,
    cost: {
      lines: (fit) => [w.points(signedText(fit.cost.total - before.cost.total))],
      by: (fit) => fit.cost.total,
    },
    conflicts: answers.some(({ conflicts }) => conflicts > 0)
      ? { lines: (fit) => [String(fit.conflicts)], by: (fit) => fit.conflicts }
      : null,
  };
  return (Object.keys(w.rows) as MeasureKey[]).flatMap((key) => {
    const row = rows[key];
    if (row === null) return [];
    const values = row.by === null ? [] : answers.map(row.by);
    const least = Math.min(...values);
    // Where all are alike, nothing is best.
    const differ = values.some((value) => value !== least);
    const how: Partial<Record<MeasureKey, string>> = { ...words.how.fit, ...w.how };
    return [
      {
        key,
        label: w.rows[key],
        how: how[key] ?? null,
        cells: answers.map((fit, i) => ({
          lines: row.lines(fit),
          best: differ && values[i] === least,
          tone: row.late?.(fit) ? "late" : null,
        })),
      },
    ];
  });
}

const cut = (lines: readonly string[]): readonly string[] =>
  lines.length === 0
    ? [w.none]
    : lines.length <= LINES_MAX
      ? lines
      : [...lines.slice(0, LINES_MAX - 1), w.more(lines.length - LINES_MAX + 1)];

const listed = (names: readonly string[]): readonly string[] => (names.length === 0 ? [w.none] : [names.join(", ")]);

function moneyText({ money }: FitAnswer): string {
  if (money === null) return w.none;
  return signedMoneyText(money.total, money.currency);
}

/** When people go home on the next day somebody works; in a shop without crews, tomorrow at 17:00. */
export function endOfNextWorkingDay(problem: Pick<Problem, "crews">, time: SiteTime): number {
  const { clock } = time;
  const present = union(...problem.crews.map((crew) => crew.present));
  const today = clock.shownAt(time.now).day;
  for (let day = today + 1; day <= today + DAYS_LOOKED; day++) {
    const [from, until] = [clock.minuteAt(day, 0), clock.minuteAt(day + 1, 0)];
    const ends = present.flatMap(([start, end]) => (start < until && end > from ? [Math.min(end, until)] : []));
    if (ends.length > 0) return Math.max(...ends);
  }
  return clock.minuteAt(today + 1, 17 * 60);
}
const DAYS_LOOKED = 21;
