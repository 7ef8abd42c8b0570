/** All things of one kind, in a table that shows what matters about that kind. */
import { useQuery, useSuspenseQuery } from "@tanstack/react-query";
import { Link, useParams } from "@tanstack/react-router";
import type { ReactNode } from "react";
import { PLANT_KINDS, type PlantEntity, type PlantKind } from "../../../src/contract/api/shop.ts";
import { PLANNERS, plantQuery, useMay, useSiteTime } from "../../client/shop.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Page } from "../../parts/page.tsx";
import { Empty } from "../../parts/states.tsx";
import { hoursText, numberText, peopleText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { runHoursText, triggerText } from "../upkeep/trigger-text.ts";
import { previewWeeks } from "./calendar-preview.ts";
import { UnknownKind } from "./unknown-kind.tsx";

const w = words.setup;
const c = w.columns;
const { setup: how } = words.how;

type Column<K extends PlantKind> = {
  readonly label: string;
  readonly number?: true;
  /** How it is worked out; left out: people typed it. */
  readonly how?: string;
  cell(entity: PlantEntity<K>, context: Context): ReactNode;
};
type Context = {
  readonly time: SiteTime;
  readonly counted: readonly PlantEntity<"run-hour-rules">[];
  hours(id: string | null): string;
  machine(id: string): string;
};

const COLUMNS: { readonly [K in PlantKind]: readonly Column<K>[] } = {
  machines: [
    { label: c.group, cell: ({ group }) => group },
    { label: c.kind, cell: ({ kind }) => w.machineKinds[kind] },
    { label: c.calendar, cell: ({ calendar }, { hours }) => hours(calendar) },
    { label: c.setup, cell: ({ setup }) => w.setupRules[setup.kind] },
    {
      label: c.unattended,
      cell: ({ unattended }) =>
        unattended.kind === "never"
          ? w.unattendedRules.never
          : unattended.maxMinutes === null
            ? w.unattendedRules.allowed
            : `${w.unattendedRules.allowed}, ${durationText(unattended.maxMinutes)}`,
    },
    {
      label: c.calibration,
      how: how.calibration,
      cell: ({ calibrations }, { time }) => nextCalibration(calibrations, time),
    },
  ],
  crews: [
    { label: c.skills, cell: ({ skills }) => skills.join(", ") },
    { label: c.people, number: true, cell: ({ people }) => peopleText(people) },
    { label: c.calendar, cell: ({ calendar }, { hours }) => hours(calendar) },
    { label: c.absences, number: true, cell: ({ absences }) => (absences.length === 0 ? "" : numberText(absences.length)) },
  ],
  calendars: [
    { label: c.week, number: true, how: how.week, cell: (calendar, { time }) => weekHours(calendar, time) },
    {
      label: c.exceptions,
      number: true,
      cell: ({ exceptions, recurring, extra }) => numberText(exceptions.length + recurring.length + extra.length),
    },
  ],
  supplies: [
    { label: c.amount, number: true, cell: ({ amount, unit }) => `${numberText(amount)} ${unit}` },
    { label: c.changes, number: true, cell: ({ changes }) => (changes.length === 0 ? "" : numberText(changes.length)) },
  ],
  kits: [
    { label: c.count, number: true, cell: ({ count }) => numberText(count) },
    { label: c.changes, number: true, cell: ({ changes }) => (changes.length === 0 ? "" : numberText(changes.length)) },
  ],
  "setup-tables": [{ label: c.families, cell: ({ families }) => families.join(", ") }],
  routes: [{ label: c.operations, number: true, cell: ({ operations }) => numberText(operations.length) }],
  "run-hour-rules": [
    { label: c.machine, cell: ({ machine: id }, { machine }) => machine(id) },
    { label: c.counter, number: true, cell: ({ counter }) => w.hoursWeek(hoursText(counter)) },
    { label: c.limit, number: true, cell: ({ limit }) => w.hoursWeek(hoursText(limit)) },
  ],
  "upkeep-rules": [
    { label: c.machine, cell: ({ machine: id }, { machine }) => machine(id) },
    { label: c.comesAgain, cell: ({ trigger }, { time, counted }) => triggerText(trigger, time, counted) },
    { label: c.task, cell: ({ task }) => `${task.title}, ${durationText(task.minutes)}` },
  ],
};

function nextCalibration(calibrations: PlantEntity<"machines">["calibrations"], time: SiteTime): ReactNode {
  const dues = calibrations.flatMap(({ name, due }) => {
    const minute = time.minuteOf(due, "end");
    return minute === null ? [] : [{ name, minute }];
  });
  const next = dues.sort((a, b) => a.minute - b.minute)[0];
  if (!next) return "";
  return (
    <span
      className={next.minute < time.now + WARN_AHEAD ? "late" : undefined}
    >{`${next.name}, ${time.day(next.minute - 1)}`}</span>
  );
}

/** Two weeks: time enough to get a calibration date. */
const WARN_AHEAD = 14 * 1440;

function weekHours(calendar: PlantEntity<"calendars">, time: SiteTime): string {
  const week = previewWeeks(calendar, time, 2)?.[1];
  return week ? w.hoursWeek(numberText(week.openMinutes / 60)) : "";
}

const isKind = (kind: string): kind is PlantKind => PLANT_KINDS.some((known) => known === kind);

export function PlantList() {
  const { kind } = useParams({ from: "/setup/$kind" });
  return isKind(kind) ? <KindList key={kind} kind={kind} /> : <UnknownKind />;
}

function KindList<K extends PlantKind>({ kind }: { readonly kind: K }) {
  const entities = useSuspenseQuery(plantQuery(kind)).data;
  const calendars = useQuery(plantQuery("calendars")).data ?? [];
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const counted = useQuery(plantQuery("run-hour-rules")).data ?? [];
  const mayEdit = useMay(PLANNERS);
  const time = useSiteTime();
  const text = w.kinds[kind];
  const columns: readonly Column<K>[] = COLUMNS[kind];
  const context: Context = {
    time,
    counted,
    hours: (id) => (id === null ? w.alwaysOpen : (calendars.find((calendar) => calendar.id === id)?.name ?? id)),
    machine: (id) => machines.find((machine) => machine.id === id)?.name ?? id,
  };
  const add = mayEdit ? (
    <Link className="button button-main" to="/add/$kind" params={{ kind }}>
      {w.add(text.one)}
    </Link>
  ) : null;
  return (
    <Page title={text.title} about={text.about} back={<Link to="/setup">{words.shell.back(w.title)}</Link>} actions={add}>
      {entities.length === 0 ? (
        <Empty title={w.noneTitle(text.title)} actions={add}>
          {kind === "crews" && calendars.length === 0 ? w.noneCalendarFirst : w.none(text.one)}
        </Empty>
      ) : (
        <div className="table-frame">
          <table className="table table-links">
            <thead>
              <tr>
                <th scope="col">{c.name}</th>
                {columns.map(({ label, number, how: text }) => (
                  <HeadCell key={label} label={label} how={text ?? null} number={number ?? false} />
                ))}
                <th scope="col">{c.id}</th>
              </tr>
            </thead>
            <tbody>
              {entities.map((entity) => (
                <tr key={entity.id}>
                  <td>
                    <Link to="/setup/$kind/$id" params={{ kind, id: entity.id }}>
                      {nameOf(entity, context)}
                    </Link>
                  </td>
                  {columns.map((column) => (
                    <td key={column.label} className={column.number ? "number" : undefined}>
                      {column.cell(entity, context)}
                    </td>
                  ))}
                  <td className="quiet">{entity.id}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Page>
  );
}

type Named = { readonly id: string; readonly name?: string | undefined };

/** A run-hour rule has no name of its own: its machine and limit say which it is. */
function nameOf(entity: Named, { counted, machine }: Context): string {
  const rule = counted.find(({ id }) => id === entity.id);
  return entity.name || (rule ? `${machine(rule.machine)}, ${runHoursText(rule.id, counted)}` : entity.id);
}
