/**
 * What a scenario moves, and nothing else: one row for each operation that moves, where the draft has it as a phantom outline, where
 * the scenario puts it solid, an arrow from one to the other. The list below says the same in words and is what screen readers get.
 */
import { useRef } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { ScenarioColumn } from "../../../src/contract/api/scenario.ts";
import { useSiteTime } from "../../client/shop.ts";
import { useWidth } from "../../parts/use-width.ts";
import { axisTicks } from "../../present/ticks.ts";
import { words } from "../../words/words.ts";

const w = words.scenarios.strip;
const NAMES = 250;
const TOP = 24;
const ROW = 22;
const BAR = 12;
const ROWS_MOST = 14;
const ARROW = 5;
/** A day and an hour must find room side by side. */
const TICKS = 96;

type Moved = ScenarioColumn["moved"][number];
type StripProps = {
  readonly name: string;
  readonly column: ScenarioColumn;
  readonly view: PlanView;
  readonly machines: ReadonlyMap<string, string>;
};

export function MovedStrip({ name, column, view, machines }: StripProps) {
  const time = useSiteTime();
  const { moved, movedCount } = column;
  if (movedCount === 0) return <p className="quiet moved-none">{w.none(name)}</p>;
  const label = ({ operation, name: called }: Moved): string => (called === operation ? operation : `${operation} ${called}`);
  const place = (at: Moved["to"]): string =>
    at === null
      ? w.gone
      : w.at(at.machines.map((id) => machines.get(id) ?? id).join(" + ") || w.noMachine, time.dayTime(at.start));
  return (
    <figure className="moved">
      <figcaption>{w.title(name, movedCount)}</figcaption>
      <Drawing rows={moved.slice(0, ROWS_MOST)} rigs={rigsOf(view)} label={label} />
      <details>
        <summary>
          {w.asList}
          {movedCount > ROWS_MOST ? `, ${w.more(movedCount - ROWS_MOST)}` : ""}
        </summary>
        <ul>
          {moved.map((each) => (
            <li key={each.operation}>{w.row(label(each), place(each.from), place(each.to))}</li>
          ))}
        </ul>
      </details>
    </figure>
  );
}

const rigsOf = ({ problem }: PlanView): ReadonlySet<string> =>
  new Set(problem.machines.filter(({ kind }) => kind === "rig").map(({ id }) => id));

type DrawingProps = {
  readonly rows: readonly Moved[];
  readonly rigs: ReadonlySet<string>;
  readonly label: (moved: Moved) => string;
};

function Drawing({ rows, rigs, label }: DrawingProps) {
  const frame = useRef<HTMLDivElement>(null);
  const width = useWidth(frame, 1100);
  const time = useSiteTime();
  const ends = rows.flatMap(({ from, to }) => [from, to]).flatMap((at) => (at === null ? [] : [at.start, at.end]));
  const [first, last] = [Math.min(...ends), Math.max(...ends)];
  const room = Math.max(120, (last - first) * 0.03);
  const [start, end] = [first - room, last + room];
  const scale = (width - NAMES - 12) / (end - start);
  const x = (minute: number): number => NAMES + (minute - start) * scale;
  const height = TOP + rows.length * ROW + 6;
  const ticks = axisTicks(time, Math.ceil(start), Math.floor(end), scale, TICKS).filter(({ minute }) => x(minute) < width - 24);
  const long = (at: NonNullable<Moved["to"]>): number => Math.max(3, x(at.end) - x(at.start));
  return (
    <div ref={frame} className="order-drawing">
      <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
        {ticks.map(({ minute, label: text, day }) => (
          <g key={minute}>
            <line x1={x(minute)} x2={x(minute)} y1={TOP - 6} y2={height} stroke="var(--line)" strokeWidth={day ? 1 : 0.75} />
            <text x={x(minute) + 3} y={TOP - 9} className={day ? "axis-day" : "axis-hour"}>
              {text}
            </text>
          </g>
        ))}
        {rows.map((moved, i) => {
          const y = TOP + i * ROW + (ROW - BAR) / 2;
          const { from, to } = moved;
          const hue = to?.machines.some((id) => rigs.has(id)) ? "var(--rig)" : "var(--machine)";
          const middle = y + BAR / 2;
          const ahead = from !== null && to !== null && to.start > from.start;
          const tip = to === null ? 0 : ahead ? x(to.start) - 1 : x(to.start) + long(to) + 1;
          const tail = from === null ? 0 : ahead ? x(from.start) + long(from) : x(from.start);
          const gap = ahead ? tip - tail : tail - tip;
          return (
            <g key={moved.operation}>
              <line x1={0} x2={width} y1={TOP + i * ROW} y2={TOP + i * ROW} stroke="var(--line)" strokeWidth="0.75" />
              <text x="6" y={middle + 4} className="row-note">
                {shortened(label(moved))}
              </text>
              {from === null ? null : (
                <rect
                  x={x(from.start)}
                  y={y + 0.5}
                  width={long(from)}
                  height={BAR - 1}
                  fill="none"
                  stroke="var(--ghost)"
                  strokeWidth="1.5"
                  strokeDasharray="8 2 1.5 2 1.5 2"
                />
              )}
              {to === null ? null : <rect x={x(to.start)} y={y} width={long(to)} height={BAR} fill={hue} />}
              {from !== null && to !== null && gap > ARROW + 3 ? (
                <g stroke="var(--ink)" fill="var(--ink)">
                  <line x1={tail} x2={tip + (ahead ? -ARROW : ARROW)} y1={middle} y2={middle} strokeWidth="1.6" />
                  <path d={`M${tip} ${middle}l${ahead ? -ARROW : ARROW} -3v6z`} stroke="none" />
                </g>
              ) : null}
            </g>
          );
        })}
      </svg>
    </div>
  );
}

/** Names column holds about so many letters of the condensed face. */
const LETTERS = 40;
const shortened = (text: string): string => (text.length > LETTERS ? `${text.slice(0, LETTERS - 1)}…` : text);
