/** Two plans side by side: the same measures as rows, the better one marked, orders that end at another time, and the change list. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link, useParams } from "@tanstack/react-router";
import type { Measures, VersionComparison } from "../../../src/contract/api/version.ts";
import { comparisonQuery } from "../../client/publishing.ts";
import { useSiteTime } from "../../client/shop.ts";
import { MeasureHead } from "../../parts/head-cell.tsx";
import { Page, Section } from "../../parts/page.tsx";
import { numberText, signedText } from "../../present/amounts.ts";
import { differenceText, durationText } from "../../present/duration.ts";
import { instantText } from "../../present/instant.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { ChangeList } from "./change-list.tsx";
import "./publishing.css";

const w = words.publishing;
type Side = VersionComparison["first"];
const nameOf = ({ version }: Side): string => (version === null ? w.draft : w.versionNumber(version));

/** Of each: the figure, how it is said, how a difference is said. Less is better of all of them. */
const ROWS: readonly (readonly [
  name: keyof typeof w.measures,
  of: (measures: Measures) => number,
  say: (value: number, time: SiteTime) => string,
  differ: (value: number) => string,
])[] = [
  ["conflicts", (m) => m.conflicts - m.notPlanned, numberText, signedText],
  ["notPlanned", (m) => m.notPlanned, numberText, signedText],
  ["lateOrders", (m) => m.lateOrders, numberText, signedText],
  ["lateMinutes", (m) => m.lateMinutes, durationText, differenceText],
  ["end", (m) => m.end, (value, time) => time.dayTime(value), differenceText],
  ["setupMinutes", (m) => m.setupMinutes, durationText, differenceText],
  ["waitingMinutes", (m) => m.waitingMinutes, durationText, differenceText],
  ["unsocialPersonMinutes", (m) => m.unsocialPersonMinutes, durationText, differenceText],
  ["unattendedNightMinutes", (m) => m.unattendedNightMinutes, durationText, differenceText],
  ["cost", (m) => m.cost.total, (value) => w.points(numberText(value)), (value) => w.points(signedText(value))],
];
const { measures: how } = words.how;
const HOW: Readonly<Record<keyof typeof w.measures, string>> = {
  ...how,
  unattendedNightMinutes: how.nightMinutes,
};
/** Neither good nor bad by itself. */
const NO_BETTER = new Set<string>(["unattendedNightMinutes"]);

export function ComparePage() {
  const { version, other } = useParams({ from: "/published/$version/against/$other" });
  const compared = useSuspenseQuery(comparisonQuery(Number(version), other === "draft" ? "draft" : Number(other))).data;
  const time = useSiteTime();
  const { first, second, changes, doneBetween, gone } = compared;
  return (
    <Page
      title={`${nameOf(first)} → ${nameOf(second)}`}
      about={w.compareAbout}
      back={<Link to="/published">{words.shell.back(w.title)}</Link>}
    >
      <Section title={w.compare}>
        <div className="table-frame">
          <table className="table">
            <thead>
              <tr>
                <th scope="col">{w.measure}</th>
                {[first, second].map((side, i) => (
                  <th scope="col" className="number" key={i === 0 ? "first" : "second"}>
                    {nameOf(side)}
                    <br />
                    <small>
                      {side.publishedAt === null ? side.by : `${instantText(side.publishedAt, time.zone)}, ${side.by}`}
                    </small>
                  </th>
                ))}
                <th scope="col" className="number">
                  {w.difference}
                </th>
              </tr>
            </thead>
            <tbody>
              {ROWS.map(([name, of, say, differ]) => {
                const [a, b] = [first.measures && of(first.measures), second.measures && of(second.measures)];
                const known = a !== null && b !== null && a !== b && !NO_BETTER.has(name);
                const cell = (value: number | null, better: boolean) => (
                  <td className="number">
                    {value === null ? (
                      <span className="quiet">{w.notMeasured}</span>
                    ) : better ? (
                      <span className="compare-better" title={w.better}>
                        {say(value, time)}
                      </span>
                    ) : (
                      say(value, time)
                    )}
                  </td>
                );
                return (
                  <tr key={name}>
                    <MeasureHead label={w.measures[name]} how={HOW[name]} />
                    {cell(a, known && (a ?? 0) < (b ?? 0))}
                    {cell(b, known && (b ?? 0) < (a ?? 0))}
                    <td className="number">{a === null || b === null ? "" : differ(b - a)}</td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      </Section>
      <Orders orders={compared.orders} time={time} />
      <Section
        title={w.viewNames.changes}
        about={[doneBetween > 0 ? w.doneBetween(doneBetween) : "", gone.length > 0 ? w.gone(gone.length) : ""].join(" ").trim()}
      >
        <ChangeList changes={changes} time={time} freeze={null} open heading={w.changesBetween(changes.changed)} />
      </Section>
    </Page>
  );
}

function Orders({ orders, time }: { readonly orders: VersionComparison["orders"]; readonly time: SiteTime }) {
  const end = (minute: number | null) => (minute === null ? <span className="quiet">{w.missing}</span> : time.dayTime(minute));
  return (
    <Section title={w.ordersTitle} about={orders.length === 0 ? w.noOrders : undefined}>
      {orders.length === 0 ? null : (
        <div className="table-frame">
          <table className="table table-links">
            <thead>
              <tr>
                <th scope="col">{w.order}</th>
                {[w.due, w.ends, w.endsNow, w.moved].map((label) => (
                  <th scope="col" className="number" key={label}>
                    {label}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {orders.map(({ order, name, due, ends, moved }) => (
                <tr key={order}>
                  <td>
                    <Link to="/orders/$id" params={{ id: order }}>
                      {order} {name}
                    </Link>
                  </td>
                  <td className="number">{due === null ? "" : time.dueText(due)}</td>
                  <td className="number">{end(ends[0])}</td>
                  <td className={due !== null && ends[1] !== null && ends[1] > due ? "number late" : "number"}>{end(ends[1])}</td>
                  <td className="number">{moved === null ? "" : differenceText(moved)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Section>
  );
}
