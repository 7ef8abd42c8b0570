/** Supplies and kits in time: a chart for each, where it is short, and the peaks of the chosen one with who makes them. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useMemo, useState } from "react";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Page, Section } from "../../parts/page.tsx";
import { Empty } from "../../parts/states.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { numberText, shareText } from "../../present/amounts.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { ProfileChart } from "./profile-chart.tsx";
import { type Profile, peaksOf, profilesOf, shortagesOf, stepsOf } from "./supply-profile.ts";
import "./supplies.css";

const w = words.supplies;
const DAY = 1440;
const PEAKS_SHOWN = 6;
const SPANS = ["day", "week"] as const;
type Span = (typeof SPANS)[number];

export function SuppliesPage() {
  const view = useSuspenseQuery(planQuery).data;
  const time = useSiteTime();
  const problem = view.problem as Problem;
  const profiles = useMemo(() => profilesOf(problem, view.draft.plan as Plan), [problem, view.draft.plan]);
  const shown = profiles.filter(({ kind, uses }) => kind === "supply" || uses.length > 0);
  const [span, setSpan] = useState<Span>("week");
  const [ways, setWays] = useState(0);
  const [chosen, setChosen] = useState<string | null>(null);
  const { start, end } = stretch(time, span, ways);
  if (shown.length === 0)
    return (
      <Page title={w.title} about={w.about}>
        <Empty
          title={w.noneTitle}
          actions={
            <Link className="button button-main" to="/add/$kind" params={{ kind: "supplies" }}>
              {words.setup.add(words.setup.kinds.supplies.one)}
            </Link>
          }
        >
          {w.none}
        </Empty>
      </Page>
    );
  const looked = shown.find(({ id, kind }) => `${kind} ${id}` === chosen) ?? (shown[0] as Profile);
  const ticks = ticksOf(time, span, start, end);
  return (
    <Page
      title={w.title}
      about={w.about}
      actions={
        <>
          <HowComputed label={w.how} text={w.howText} />
          <button type="button" className="button button-small" onClick={() => setWays(ways - 1)}>
            {w.earlier}
          </button>
          <button type="button" className="button button-small" onClick={() => setWays(ways + 1)}>
            {w.later}
          </button>
          <label className="row">
            <span className="quiet">{w.span}</span>
            <select
              style={{ width: "auto" }}
              value={span}
              onChange={(event) => {
                setSpan(event.target.value as Span);
                setWays(0);
              }}
            >
              {SPANS.map((value) => (
                <option key={value} value={value}>
                  {w.spans[value]}
                </option>
              ))}
            </select>
          </label>
        </>
      }
    >
      <p className="legend">
        <span>
          <i className="profile-key supply" /> {w.legend.drawn}
        </span>
        <span>
          <i className="profile-key there" /> {w.legend.there}
        </span>
        <span>
          <i className="profile-key over" /> {w.legend.over}
        </span>
        <span className="push">{w.from(time.day(start))}</span>
      </p>
      <ul className="profiles">
        {shown.map((profile) => {
          const key = `${profile.kind} ${profile.id}`;
          const steps = stepsOf(profile, start, end);
          const peak = peaksOf(profile, steps, 1)[0];
          const short = shortagesOf(steps, time.now);
          const amount = (value: number): string => `${numberText(value)}${profile.unit === "" ? "" : ` ${profile.unit}`}`;
          const shortText = short.length === 0 ? w.never : w.shortTimes(short.length);
          return (
            <li key={key} className={looked === profile ? "profile-row profile-chosen" : "profile-row"}>
              <div className="profile-name">
                <button type="button" className="button-plain" aria-pressed={looked === profile} onClick={() => setChosen(key)}>
                  {profile.name}
                </button>
                <span className="quiet">
                  {peak
                    ? words.load.of(numberText(peak.drawn), numberText(peak.there), profile.unit)
                    : profile.kind === "kit"
                      ? w.nothingHeld
                      : w.nothingDrawn}
                </span>
                {short.map((one) => (
                  <Link
                    key={one.start}
                    className="bad"
                    to="/"
                    search={{ from: one.start - 120, until: Math.max(one.end, one.start + DAY / 2) + 120 }}
                  >
                    {time.dayTime(one.start)}, {w.shortBy(amount(one.amount))}
                  </Link>
                ))}
              </div>
              <ProfileChart
                profile={profile}
                steps={steps}
                start={start}
                end={end}
                now={time.now}
                ticks={ticks}
                label={w.chart(profile.name, amount(peak?.drawn ?? 0), amount(peak?.there ?? steps[0]?.there ?? 0), shortText)}
              />
            </li>
          );
        })}
      </ul>
      <Peaks profile={looked} start={start} end={end} time={time} problem={problem} />
    </Page>
  );
}

/** Days and weeks of the site's clock, so that a day of a clock change has its own length. */
function stretch(time: SiteTime, span: Span, ways: number): { readonly start: number; readonly end: number } {
  const { clock, now } = time;
  const first = clock.shownAt(now).day;
  const length = span === "week" ? 7 : 1;
  return { start: clock.minuteAt(first + ways * length, 0), end: clock.minuteAt(first + (ways + 1) * length, 0) };
}

function ticksOf(time: SiteTime, span: Span, start: number, end: number): readonly { minute: number; label: string }[] {
  const { clock } = time;
  const { day } = clock.shownAt(start);
  const all =
    span === "week"
      ? Array.from({ length: 7 }, (_, i) => clock.minuteAt(day + i, 0)).map((minute) => ({ minute, label: time.day(minute) }))
      : Array.from({ length: 8 }, (_, i) => clock.minuteAt(day, i * 180)).map((minute) => ({ minute, label: time.time(minute) }));
  return all.filter(({ minute }) => minute >= start && minute < end);
}

function Peaks({
  profile,
  start,
  end,
  time,
  problem,
}: {
  readonly profile: Profile;
  readonly start: number;
  readonly end: number;
  readonly time: SiteTime;
  readonly problem: Problem;
}) {
  const peaks = peaksOf(profile, stepsOf(profile, start, end), PEAKS_SHOWN);
  const amount = (value: number): string => `${numberText(value)}${profile.unit === "" ? "" : ` ${profile.unit}`}`;
  return (
    <Section title={`${w.peaks}: ${profile.name}`} about={w.peaksAbout}>
      {peaks.length === 0 ? (
        <p className="quiet">{profile.kind === "kit" ? w.nothingHeld : w.nothingDrawn}</p>
      ) : (
        <div className="table-frame">
          <table className="table">
            <thead>
              <tr>
                <th scope="col">{w.columns.from}</th>
                <th scope="col">{w.columns.until}</th>
                <HeadCell label={w.columns.amount} how={words.how.supplies.drawn} number />
                <HeadCell label={w.columns.there} how={words.how.supplies.there} number />
                <HeadCell label={w.columns.who} how={words.how.supplies.share} />
              </tr>
            </thead>
            <tbody>
              {peaks.map((peak) => (
                <tr key={peak.start}>
                  <th scope="row" className="nowrap">
                    <Link
                      to="/"
                      search={{
                        from: peak.start - 240,
                        until: peak.start + DAY,
                        ...(peak.makers[0]?.machine == null ? {} : { machine: peak.makers[0].machine }),
                      }}
                    >
                      {time.dayTime(peak.start)}
                      <span className="out-of-sight">. {w.onBoard}</span>
                    </Link>
                  </th>
                  <td className="nowrap">{time.dayTime(peak.end)}</td>
                  <td className={peak.drawn > peak.there ? "number bad strong" : "number"}>
                    {peak.drawn > peak.there ? "▲ " : ""}
                    {amount(peak.drawn)}
                  </td>
                  <td className="number">{amount(peak.there)}</td>
                  <td>
                    {peak.makers.map(({ operation, amount: part }, i) => (
                      <span key={operation.id}>
                        {i === 0 ? "" : "; "}
                        <Link to="/orders/$id" params={{ id: operation.order }}>
                          {problem.orders.find(({ id }) => id === operation.order)?.id} {operation.name}
                        </Link>{" "}
                        {amount(part)} ({shareText(part / peak.drawn)})
                      </span>
                    ))}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Section>
  );
}
