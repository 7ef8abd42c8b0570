/**
 * One order as a drawing: its promise as a dimension line (release - now - due - end), and below it the operations
 * on the same time scale. For looking; the table beneath says the same in words and is what screen readers get.
 */
import { useId, useRef } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { subtract, union } from "../../../src/core/calendar/intervals.ts";
import { useSiteTime } from "../../client/shop.ts";
import { useWidth } from "../../parts/use-width.ts";
import { WorkBar, WorkPatterns } from "../../parts/work-patterns.tsx";
import { differenceText, durationText } from "../../present/duration.ts";
import { operationLabel } from "../../present/segments.ts";
import { axisTicks } from "../../present/ticks.ts";
import { ROW } from "../../tokens/tokens.ts";
import { words } from "../../words/words.ts";
import type { OrderTimeline, TimelineRow } from "./order-timeline.ts";

const NAMES = 190;
const AXIS_TOP = 62;
const HEAD = 92;
const ROW_HEIGHT = ROW.normal.row;

export function OrderDrawing({ timeline, view }: { readonly timeline: OrderTimeline; readonly view: PlanView }) {
  const frame = useRef<HTMLDivElement>(null);
  const width = useWidth(frame, 1100);
  const prefix = useId();
  const time = useSiteTime();
  const { order, rows, completion } = timeline;
  const marks = [
    order.release,
    order.due,
    order.deadline,
    completion,
    time.now,
    ...rows.flatMap((row) => [row.start, row.end]),
  ].filter((minute) => minute !== null);
  const first = Math.min(...marks);
  const last = Math.max(...marks);
  const room = Math.max(240, (last - first) * 0.04);
  const from = first - room;
  const until = last + room;
  const scale = (width - NAMES - 12) / (until - from);
  const x = (minute: number): number => NAMES + (minute - from) * scale;
  const height = HEAD + rows.length * ROW_HEIGHT + 8;
  const onSite = union(...view.problem.crews.map((crew) => crew.present));
  const nights = view.problem.crews.length === 0 ? [] : subtract([[Math.floor(from), Math.ceil(until)]], onSite);
  const ticks = axisTicks(time, Math.ceil(from), Math.floor(until), scale).filter(({ minute }) => x(minute) < width - 24);
  const late = order.due !== null && completion !== null ? completion - order.due : null;

  return (
    <div ref={frame} className="order-drawing">
      <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
        <WorkPatterns prefix={prefix} />
        {nights.map(([start, end]) => (
          <rect
            key={start}
            x={x(start)}
            width={Math.max(0.5, x(end) - x(start))}
            y={AXIS_TOP}
            height={height - AXIS_TOP}
            fill="var(--night)"
          />
        ))}
        {ticks.map(({ minute, label, day }) => (
          <g key={minute}>
            <line
              x1={x(minute)}
              x2={x(minute)}
              y1={day ? AXIS_TOP : HEAD - 6}
              y2={height}
              stroke="var(--line)"
              strokeWidth={day ? 1.25 : 0.75}
            />
            <text
              x={x(minute) + (day ? 4 : 0)}
              y={day ? AXIS_TOP + 13 : AXIS_TOP + 27}
              className={day ? "axis-day" : "axis-hour"}
              textAnchor={day ? "start" : "middle"}
            >
              {label}
            </text>
          </g>
        ))}
        <line x1={0} x2={width} y1={HEAD} y2={HEAD} stroke="var(--edge)" />
        {rows.map((row, i) => {
          const top = HEAD + i * ROW_HEIGHT;
          return (
            <g key={row.operation.id}>
              <line x1={0} x2={width} y1={top + ROW_HEIGHT} y2={top + ROW_HEIGHT} stroke="var(--line)" strokeWidth="0.75" />
              <text x={4} y={top + 21} className="row-name">
                {clipped(operationLabel(row.operation), 30)}
              </text>
              {row.lots.length === 0 ? (
                <text x={x(Math.max(order.release, time.now)) + 8} y={top + 21} className="row-note bad-text">
                  {words.orders.notPlanned}
                </text>
              ) : null}
              {row.lots.map((lot, j) => (
                <g key={lot.start}>
                  <WorkBar prefix={prefix} segments={lot.segments} rig={lot.rig} x={x} top={top + ROW.normal.above} />
                  {row.conflicts.length > 0 ? (
                    <rect
                      x={x(lot.start) - 3}
                      width={Math.max(6, x(lot.end) - x(lot.start) + 6)}
                      y={top + 1.5}
                      height={ROW_HEIGHT - 3}
                      fill="none"
                      stroke="var(--bad)"
                      strokeWidth="2"
                      strokeDasharray="7 3"
                    />
                  ) : null}
                  {saidByNext(row.lots, j, x) ? null : (
                    <text
                      {...labelPlace(x(lot.start), x(lot.end), width, lot.machines.join(" + "))}
                      y={top + 20}
                      className="bar-note"
                    >
                      {lot.machines.join(" + ")}
                    </text>
                  )}
                </g>
              ))}
            </g>
          );
        })}
        <PromiseLine x={x} order={order} completion={completion} late={late} now={time.now} height={height} width={width} />
      </svg>
    </div>
  );
}

/** Lots that follow each other on the same machines say so once, behind the last; so does one whose name the next would cover. */
function saidByNext(lots: TimelineRow["lots"], index: number, x: (minute: number) => number): boolean {
  const [lot, next] = [lots[index], lots[index + 1]];
  if (!lot || !next) return false;
  const text = lot.machines.join(" + ");
  return next.machines.join(" + ") === text || x(lot.end) + textWidth(text) > x(next.start);
}

const textWidth = (text: string): number => text.length * 6.2 + 8;

/** Beside the bar where there is room, before it otherwise. */
function labelPlace(
  left: number,
  right: number,
  width: number,
  text: string,
): { readonly x: number; readonly textAnchor: "start" | "end" } {
  return right + textWidth(text) < width ? { x: right + 6, textAnchor: "start" } : { x: left - 6, textAnchor: "end" };
}

const clipped = (text: string, length: number): string => (text.length > length ? `${text.slice(0, length - 1)}…` : text);

type PromiseProps = {
  readonly x: (minute: number) => number;
  readonly order: OrderTimeline["order"];
  readonly completion: number | null;
  readonly late: number | null;
  readonly now: number;
  readonly height: number;
  readonly width: number;
};

const LINE_Y = 34;

function PromiseLine({ x, order, completion, late, now, height, width }: PromiseProps) {
  const w = words.orders.marks;
  const ends = [order.release, order.due, completion].filter((minute) => minute !== null);
  const startX = x(Math.min(...ends));
  const endX = x(Math.max(...ends));
  const texts = spread(
    [
      { minute: order.release, label: w.release, kind: "plain" },
      ...(order.due === null ? [] : [{ minute: order.due, label: w.due, kind: "due" }]),
      ...(order.deadline === null ? [] : [{ minute: order.deadline, label: w.deadline, kind: "due" }]),
      ...(completion === null ? [] : [{ minute: completion, label: w.end, kind: late !== null && late > 0 ? "late" : "end" }]),
    ],
    x,
    width,
  );
  const gap =
    late === null || order.due === null || completion === null
      ? null
      : { from: x(Math.min(order.due, completion)), to: x(Math.max(order.due, completion)) };
  return (
    <g>
      <text x={4} y={LINE_Y + 4} className="row-name strong-text">
        {words.orders.promise}
      </text>
      <line x1={startX} x2={endX} y1={LINE_Y} y2={LINE_Y} stroke="var(--ink)" strokeWidth="1.25" />
      {gap && late !== null && late !== 0 ? (
        <>
          <line
            x1={gap.from}
            x2={gap.to}
            y1={LINE_Y}
            y2={LINE_Y}
            stroke={late > 0 ? "var(--warn)" : "var(--held)"}
            strokeWidth="2.5"
          />
          <text
            x={(gap.from + gap.to) / 2}
            y={LINE_Y - 5}
            textAnchor="middle"
            className={late > 0 ? "dimension late-text" : "dimension"}
          >
            {late > 0 ? differenceText(late) : `${durationText(-late)} ${words.orders.spare}`}
          </text>
        </>
      ) : null}
      {texts.map(({ minute, label, kind, at, anchor }) => (
        <g key={label}>
          {kind === "due" ? (
            <path d={`M${x(minute) - 6} ${LINE_Y - 10}h12l-6 10z`} fill="var(--warn)" />
          ) : (
            <line
              x1={x(minute)}
              x2={x(minute)}
              y1={LINE_Y - 7}
              y2={LINE_Y + 7}
              stroke={kind === "late" ? "var(--warn)" : "var(--ink)"}
              strokeWidth="2"
            />
          )}
          {kind === "due" ? (
            <line
              x1={x(minute)}
              x2={x(minute)}
              y1={LINE_Y}
              y2={height}
              stroke="var(--warn)"
              strokeWidth="1.5"
              strokeDasharray="2 3"
            />
          ) : null}
          <text x={at} y={LINE_Y + 20} textAnchor={anchor} className="mark-name">
            {label}
          </text>
        </g>
      ))}
      <line x1={x(now)} x2={x(now)} y1={8} y2={height} stroke="var(--ink)" strokeWidth="2" />
      <text x={x(now) + 5} y={15} className="mark-name strong-text">
        {w.now}
      </text>
    </g>
  );
}

type MarkText = { readonly minute: number; readonly label: string; readonly kind: string };

/** Names of marks that would lie on each other are pushed to either side of their marks. */
function spread(
  marks: readonly MarkText[],
  x: (minute: number) => number,
  width: number,
): readonly (MarkText & { readonly at: number; readonly anchor: "start" | "middle" | "end" })[] {
  const sorted = [...marks].sort((a, b) => a.minute - b.minute);
  return sorted.map((mark, i) => {
    const here = x(mark.minute);
    const before = sorted[i - 1];
    const after = sorted[i + 1];
    const tightBefore = before !== undefined && here - x(before.minute) < 54;
    const tightAfter = after !== undefined && x(after.minute) - here < 54;
    if (tightAfter && !tightBefore) return { ...mark, at: here + 2, anchor: "end" as const };
    if (tightBefore && !tightAfter) return { ...mark, at: here - 2, anchor: "start" as const };
    if (here > width - 30) return { ...mark, at: here, anchor: "end" as const };
    return { ...mark, at: here, anchor: "middle" as const };
  });
}
