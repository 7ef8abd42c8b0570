/** The rows of the comparison: what is measured, how it is said, and which value of a row is the best. Pure. */
import type { ScenarioColumn, ScenarioComparison } from "../../../src/contract/api/scenario.ts";
import { COST_ITEMS } from "../../../src/core/scenario/money.ts";
import { moneyText, numberText, signedMoneyText, signedText } from "../../present/amounts.ts";
import { differenceText, durationText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.scenarios.comparison;
const { measures: how } = words.how;

export type Cell = {
  readonly text: string;
  /** Said below it, without judging. */
  readonly note: string;
  /** Signed, against the draft; null: the draft itself or nothing to compare. */
  readonly difference: string | null;
  readonly best: boolean;
};
export type Row = {
  readonly key: string;
  readonly label: string;
  /** How it is computed. */
  readonly how: string;
  readonly strong: boolean;
  readonly cells: readonly (Cell | null)[];
};
export type RowGroup = { readonly key: string; readonly label: string; readonly rows: readonly Row[] };

type Measure = {
  readonly key: string;
  readonly label: string;
  readonly how: string;
  readonly value: (column: ScenarioColumn) => number | null;
  readonly text: (value: number) => string;
  readonly difference: (value: number) => string;
  readonly note?: (column: ScenarioColumn) => string;
  /** false: less is not better by itself. */
  readonly judged?: boolean;
  readonly strong?: boolean;
};

const hours = (minutes: number): string => durationText(Math.round(minutes));
const moreHours = (minutes: number): string => differenceText(Math.round(minutes));

export function rowGroups(comparison: ScenarioComparison, time: SiteTime): readonly RowGroup[] {
  const { currency } = comparison;
  const of = (pick: (measures: NonNullable<ScenarioColumn["measures"]>) => number) => (column: ScenarioColumn) =>
    column.measures === null ? null : pick(column.measures);
  const count = (key: keyof typeof w.rows, pick: Parameters<typeof of>[0], text = numberText): Measure => ({
    ...{ key, label: w.rows[key], how: how[key], value: of(pick), text, difference: signedText },
  });
  const long = (key: keyof typeof w.rows, pick: Parameters<typeof of>[0], judged = true): Measure => ({
    ...{ key, label: w.rows[key], how: how[key], value: of(pick), text: hours, difference: moreHours, judged },
  });
  const groups: (readonly [key: keyof typeof w.groups, measures: readonly Measure[]])[] = [
    [
      "promises",
      [
        count("conflicts", ({ conflicts, notPlanned }) => conflicts - notPlanned),
        count("notPlanned", ({ notPlanned }) => notPlanned),
        { ...count("lateOrders", ({ lateOrders }) => lateOrders), strong: true },
        { ...long("lateMinutes", ({ lateMinutes }) => lateMinutes), strong: true },
        { ...long("end", ({ end }) => end), text: time.dayTime },
      ],
    ],
    [
      "movement",
      [
        count(
          "disturbance",
          ({ disturbance }) => disturbance,
          (value) => w.disturbanceUnit(numberText(value)),
        ),
        { ...count("moved", () => 0), value: ({ measures, movedCount, id }) => (measures && id !== null ? movedCount : null) },
      ],
    ],
    [
      "hours",
      [
        {
          ...long("addedPersonMinutes", ({ addedPersonMinutes }) => addedPersonMinutes),
          note: ({ measures }) =>
            measures && measures.addedPersonMinutes > 0 ? w.usedOf(hours(measures.workedPersonMinutes)) : "",
        },
        long("addedMachineMinutes", ({ addedMachineMinutes }) => addedMachineMinutes, false),
        long("unsocialPersonMinutes", ({ unsocialPersonMinutes }) => unsocialPersonMinutes),
        long("nightMinutes", ({ nightMinutes }) => nightMinutes, false),
      ],
    ],
    [
      "machines",
      [
        count("setups", ({ setups }) => setups),
        long("setupMinutes", ({ setupMinutes }) => setupMinutes),
        long("waitingMinutes", ({ waitingMinutes }) => waitingMinutes),
      ],
    ],
    ["money", currency === null ? [] : moneyMeasures(currency)],
  ];
  return groups
    .filter(([, measures]) => measures.length > 0)
    .map(([key, measures]) => ({
      key,
      label: w.groups[key],
      rows: measures.map((measure) => rowOf(measure, comparison.columns)),
    }));
}

function moneyMeasures(currency: string): readonly Measure[] {
  const money = {
    text: (value: number): string => moneyText(value, currency),
    difference: (value: number): string => signedMoneyText(value, currency),
    how: how.money,
  };
  return [
    { ...money, key: "total", label: w.total, strong: true, value: ({ money: all }) => all?.total ?? null },
    ...COST_ITEMS.map(
      (item): Measure => ({
        ...money,
        key: item,
        label: w.moneyItems[item],
        value: ({ money: all }) => all?.items[item] ?? null,
      }),
    ),
  ];
}

function rowOf(measure: Measure, columns: readonly ScenarioColumn[]): Row {
  const values = columns.map(measure.value);
  const there = values.filter((value) => value !== null);
  const least = Math.min(...there);
  const differs = there.some((value) => value !== least);
  const base = values[0] ?? null;
  return {
    key: measure.key,
    label: measure.label,
    how: measure.how,
    strong: measure.strong ?? false,
    cells: columns.map((column, i): Cell | null => {
      const value = values[i] ?? null;
      if (value === null) return null;
      const gap = i === 0 || base === null ? null : value - base;
      return {
        text: measure.text(value),
        note: measure.note?.(column) ?? "",
        difference: gap === null ? null : gap === 0 ? "" : measure.difference(gap),
        best: (measure.judged ?? true) && differs && value === least,
      };
    }),
  };
}
