/** Load: machines against weeks as stacked columns with the number printed, crews and supplies below. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useId, useMemo, useState } from "react";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Empty } from "../../parts/states.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { WeekChoice } from "../../parts/week-choice.tsx";
import { WorkPatterns } from "../../parts/work-patterns.tsx";
import { numberText, shareText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import { type SiteTime, weekStart } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { loadOf, type MachineWeek, type Week } from "./load-model.ts";

const w = words.load;
const WEEK_CHOICES = [4, 6, 9, 13] as const;

function weeksFrom(time: SiteTime, count: number, horizon: number): readonly Week[] {
  const monday = weekStart(time, time.now);
  const { day } = time.clock.shownAt(monday);
  const all = Array.from({ length: count }, (_, i) => ({
    start: Math.max(time.now, time.clock.minuteAt(day + 7 * i, 0)),
    end: time.clock.minuteAt(day + 7 * (i + 1), 0),
  }));
  return all.filter(({ start }) => start < horizon);
}

export function LoadScreen() {
  const view = useSuspenseQuery(planQuery).data;
  const time = useSiteTime();
  const prefix = useId();
  const [count, setCount] = useState<number>(4);
  const weeks = useMemo(() => weeksFrom(time, count, view.problem.horizon), [time, count, view.problem.horizon]);
  const load = useMemo(() => loadOf(view.problem, view.draft.plan, weeks), [view, weeks]);
  const busiest = [...load.machines].sort((a, b) => (b.weeks[0]?.share ?? 0) - (a.weeks[0]?.share ?? 0))[0];
  const groups = [...new Set(load.machines.map(({ group }) => group))];

  if (load.machines.length === 0) {
    return (
      <Page title={w.title} about={w.about}>
        <Empty
          title={w.noMachinesTitle}
          actions={
            <Link className="button button-main" to="/add/$kind" params={{ kind: "machines" }}>
              {words.setup.add(words.setup.kinds.machines.one)}
            </Link>
          }
        >
          {w.noMachines}
        </Empty>
      </Page>
    );
  }

  const head = (first: string) => (
    <thead>
      <tr>
        <th scope="col" className="load-name">
          {first}
        </th>
        {weeks.map((week, i) => (
          <th key={week.start} scope="col">
            {i === 0 ? w.thisWeek : w.week(time.day(week.start))}
          </th>
        ))}
      </tr>
    </thead>
  );

  return (
    <Page
      title={w.title}
      about={w.about}
      figures={
        busiest?.weeks[0]?.share == null
          ? []
          : [
              {
                label: w.busiest,
                value: `${busiest.name}, ${shareText(busiest.weeks[0].share)}`,
                how: words.how.load.fullest,
              },
            ]
      }
      actions={
        <>
          <HowComputed label={w.how} text={w.howText} />
          <WeekChoice label={w.weeks} choices={WEEK_CHOICES} count={count} onChoose={setCount} />
        </>
      }
    >
      <svg width="0" height="0" aria-hidden="true" style={{ position: "absolute" }}>
        <WorkPatterns prefix={prefix} />
      </svg>
      <Legend prefix={prefix} />
      <div className="table-frame">
        <table className="table load">
          {head(w.machine)}
          {groups.map((group) => (
            <tbody key={group}>
              {group === "" ? null : (
                <tr>
                  <th scope="colgroup" colSpan={weeks.length + 1} className="load-group">
                    {group}
                  </th>
                </tr>
              )}
              {load.machines
                .filter((machine) => machine.group === group)
                .map((machine) => (
                  <tr key={machine.id}>
                    <th scope="row" className="load-name">
                      <Link to="/stations/$id" params={{ id: machine.id }}>
                        {machine.name}
                      </Link>
                    </th>
                    {machine.weeks.map((week, i) => (
                      <td key={weeks[i]?.start}>
                        <Link
                          className="cell-link"
                          to="/"
                          search={{ from: weeks[i]?.start ?? 0, until: weeks[i]?.end ?? 0, machine: machine.id }}
                        >
                          <Column
                            prefix={prefix}
                            week={week}
                            rig={machine.kind === "rig"}
                            label={w.cell(
                              machine.name,
                              time.day(weeks[i]?.start ?? 0),
                              week.share === null ? w.closed : shareText(week.share),
                              partsText(week),
                            )}
                          />
                        </Link>
                      </td>
                    ))}
                  </tr>
                ))}
            </tbody>
          ))}
        </table>
      </div>
      {load.crews.length > 0 ? (
        <Section
          title={words.setup.kinds.crews.title}
          about={w.crewsAbout}
          actions={<HowComputed label={w.how} text={words.how.load.crews} />}
        >
          <div className="table-frame">
            <table className="table load">
              {head(w.crew)}
              <tbody>
                {load.crews.map((crew) => (
                  <tr key={crew.id}>
                    <th scope="row" className="load-name">
                      {crew.name}
                    </th>
                    {crew.weeks.map(({ needed, there }, i) => (
                      <td key={weeks[i]?.start}>
                        <Gauge
                          share={there === 0 ? (needed > 0 ? 2 : 0) : needed / there}
                          text={w.ofHours(hours(needed), hours(there))}
                        />
                      </td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </Section>
      ) : null}
      {load.supplies.length > 0 ? (
        <Section
          title={words.setup.kinds.supplies.title}
          about={w.suppliesAbout}
          actions={<HowComputed label={w.how} text={words.how.load.supplies} />}
        >
          <div className="table-frame">
            <table className="table load">
              {head(w.supply)}
              <tbody>
                {load.supplies.map((supply) => (
                  <tr key={supply.id}>
                    <th scope="row" className="load-name">
                      {supply.name}
                    </th>
                    {supply.weeks.map(({ peak, at, there }, i) => (
                      <td key={weeks[i]?.start} title={at === null ? undefined : time.dayTime(at)}>
                        <Gauge
                          share={there === 0 ? (peak > 0 ? 2 : 0) : peak / there}
                          text={w.of(numberText(peak), numberText(there), supply.unit)}
                        />
                      </td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </Section>
      ) : null}
    </Page>
  );
}

const hours = (personMinutes: number): string => numberText(Math.round(personMinutes / 6000));

const PARTS = ["setup", "attended", "unattended", "waiting", "free"] as const;
const partsText = (week: MachineWeek): string =>
  PARTS.filter((part) => week[part] > 0)
    .map((part) => `${w.parts[part]} ${durationText(week[part])}`)
    .join(", ");

const HEIGHT = 44;

/** From the base up: setup, attended, unattended, waiting; the frame is the open time. */
function Column({
  prefix,
  week,
  rig,
  label,
}: {
  readonly prefix: string;
  readonly week: MachineWeek;
  readonly rig: boolean;
  readonly label: string;
}) {
  const hue = rig ? "rig" : "machine";
  const scale = Math.max(week.open, week.setup + week.attended + week.unattended + week.waiting, 1);
  const fills = {
    setup: `url(#${prefix}-setup-${hue})`,
    attended: `var(--${hue})`,
    unattended: `url(#${prefix}-alone-${hue})`,
    waiting: `url(#${prefix}-waiting)`,
  } as const;
  let y = HEIGHT;
  const over = week.share !== null && week.share > 1;
  return (
    <span className="load-cell" title={label}>
      <svg width="26" height={HEIGHT + 1} aria-hidden="true">
        <rect
          x="0.5"
          y="0.5"
          width="25"
          height={HEIGHT}
          fill={week.share === null ? `url(#${prefix}-closed)` : "var(--sheet)"}
          stroke="var(--edge)"
        />
        {(["setup", "attended", "unattended", "waiting"] as const).map((part) => {
          const height = (week[part] / scale) * HEIGHT;
          y -= height;
          return height === 0 ? null : (
            <rect
              key={part}
              x="0.5"
              y={y}
              width="25"
              height={height}
              fill={fills[part]}
              stroke={part === "waiting" ? "var(--held)" : `var(--${hue})`}
              strokeWidth="1"
            />
          );
        })}
        {over ? (
          <line
            x1="0"
            x2="26"
            y1={HEIGHT - (week.open / scale) * HEIGHT}
            y2={HEIGHT - (week.open / scale) * HEIGHT}
            stroke="var(--ink)"
            strokeWidth="2"
          />
        ) : null}
      </svg>
      <span className={over ? "late" : week.share !== null && week.share >= 0.9 ? "strong" : undefined}>
        {week.share === null ? w.closed : shareText(week.share)}
      </span>
      <span className="out-of-sight">{label}</span>
    </span>
  );
}

function Gauge({ share, text }: { readonly share: number; readonly text: string }) {
  return (
    <span className="gauge">
      <svg width="100%" height="8" preserveAspectRatio="none" viewBox="0 0 100 8" aria-hidden="true">
        <rect width="100" height="8" fill="var(--night)" />
        <rect width={Math.min(100, share * 100)} height="8" fill={share > 1 ? "var(--bad)" : "var(--held)"} />
      </svg>
      <span className={share > 1 ? "bad strong" : share >= 0.9 ? "strong" : undefined}>{text}</span>
    </span>
  );
}

function Legend({ prefix }: { readonly prefix: string }) {
  const swatch = (fill: string, stroke: string) => (
    <svg width="18" height="12" aria-hidden="true">
      <rect x="0.5" y="0.5" width="17" height="11" fill={fill} stroke={stroke} />
    </svg>
  );
  return (
    <p className="legend" style={{ marginBottom: 8 }}>
      <span>
        {swatch(`url(#${prefix}-setup-machine)`, "var(--machine)")} {w.parts.setup}
      </span>
      <span>
        {swatch("var(--machine)", "var(--machine)")} {w.parts.attended}
      </span>
      <span>
        {swatch(`url(#${prefix}-alone-machine)`, "var(--machine)")} {w.parts.unattended}
      </span>
      <span>
        {swatch(`url(#${prefix}-waiting)`, "var(--held)")} {w.parts.waiting}
      </span>
      <span>
        {swatch("var(--sheet)", "var(--line)")} {w.parts.free}
      </span>
    </p>
  );
}
