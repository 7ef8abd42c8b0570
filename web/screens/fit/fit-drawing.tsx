/**
 * One answer as a drawing, by machine: phantom outlines where work lies in the draft, filled bars where it would lie, the order
 * itself under a rush line. For looking; the table below it says the same in words.
 */
import { useId, useRef } from "react";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { TimeGround } from "../../parts/time-ground.tsx";
import { useWidth } from "../../parts/use-width.ts";
import { WorkBar, WorkPatterns } from "../../parts/work-patterns.tsx";
import type { SiteTime } from "../../present/site-time.ts";
import { ROW } from "../../tokens/tokens.ts";
import { words } from "../../words/words.ts";
import type { ChangeRow, DrawnLot } from "./change-rows.ts";

const w = words.fit;
const NAMES = 150;
const HEAD = 34;
const HEIGHT = ROW.normal.row;
const ROWS_MAX = 16;
/** Characters of a label, in pixels. */
const LETTER = 6.4;

export function FitDrawing({
  rows,
  problem,
  time,
}: {
  readonly rows: readonly ChangeRow[];
  readonly problem: Problem;
  readonly time: SiteTime;
}) {
  const frame = useRef<HTMLDivElement>(null);
  const width = useWidth(frame, 1100);
  const prefix = useId();
  const shown = rows.slice(0, ROWS_MAX);
  const lots = shown.flatMap(({ before, after }) => [...before, ...after]);
  if (lots.length === 0) return <p className="quiet">{w.drawingNothing}</p>;
  const first = Math.min(...lots.map(({ start }) => start));
  const last = Math.max(...lots.map(({ end }) => end));
  const room = Math.max(120, (last - first) * 0.05);
  const [from, until] = [first - room, last + room];
  const scale = (width - NAMES - 8) / (until - from);
  const x = (minute: number): number => NAMES + (Math.min(Math.max(minute, from), until) - from) * scale;
  const height = HEAD + shown.length * HEIGHT + 6;
  return (
    <div ref={frame} className="fit-drawing">
      <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
        <WorkPatterns prefix={prefix} />
        <TimeGround {...{ problem, time, from, until, x, scale, width, height }} head={HEAD} />
        <line x1={0} x2={width} y1={HEAD} y2={HEAD} stroke="var(--edge)" />
        {shown.map((row, i) => (
          <Row key={row.machine} row={row} top={HEAD + i * HEIGHT} x={x} width={width} prefix={prefix} />
        ))}
        {time.now >= from && time.now <= until ? (
          <line x1={x(time.now)} x2={x(time.now)} y1={HEAD - 16} y2={height} stroke="var(--ink)" strokeWidth="2" />
        ) : null}
      </svg>
      {rows.length > shown.length ? <p className="quiet">{w.moreRows(rows.length - shown.length)}</p> : null}
    </div>
  );
}

type RowProps = {
  readonly row: ChangeRow;
  readonly top: number;
  readonly x: (minute: number) => number;
  readonly width: number;
  readonly prefix: string;
};

function Row({ row, top, x, width, prefix }: RowProps) {
  const y = top + ROW.normal.above;
  const { bar, low } = ROW.normal;
  return (
    <g>
      <line x1={0} x2={width} y1={top + HEIGHT} y2={top + HEIGHT} stroke="var(--line)" strokeWidth="0.75" />
      <text x={4} y={top + 21} className="row-name">
        {row.name}
      </text>
      {row.still.map(([start, end]) => (
        <rect key={start} x={x(start)} width={Math.max(0, x(end) - x(start))} y={y + bar - low} height={low} fill="var(--line)" />
      ))}
      {row.after.map((lot) => (
        <g key={lot.key}>
          <WorkBar prefix={prefix} segments={lot.segments} rig={row.rig} x={x} top={y} />
          {lot.own ? (
            <rect x={x(lot.start)} width={Math.max(2, x(lot.end) - x(lot.start))} y={y - 3} height="3" fill="var(--rush)" />
          ) : null}
        </g>
      ))}
      {row.before.map((lot) => (
        <rect
          key={lot.key}
          x={x(lot.start) + 0.75}
          width={Math.max(3, x(lot.end) - x(lot.start) - 1.5)}
          y={y + 0.75}
          height={bar - 1.5}
          fill="none"
          stroke="var(--ghost)"
          strokeWidth="1.5"
          strokeDasharray="8 2.5 1.5 2.5 1.5 2.5"
        />
      ))}
      {row.after.map((lot) => (
        <Label
          key={lot.key}
          lot={lot}
          next={row.after.filter(({ start }) => start > lot.start).map(({ start }) => x(start))}
          x={x}
          y={y + 16.5}
          width={width}
        />
      ))}
    </g>
  );
}

type LabelProps = {
  readonly lot: DrawnLot;
  readonly next: readonly number[];
  readonly x: (minute: number) => number;
  readonly y: number;
  readonly width: number;
};

/** Beside its bar, where nothing else begins. */
function Label({ lot, next, x, y, width }: LabelProps) {
  const left = x(lot.end) + 5;
  const needed = lot.label.length * LETTER + 4;
  if (left + needed > Math.min(width, ...next)) return null;
  return (
    <text x={left} y={y} className={lot.own ? "bar-note strong-text fit-label" : "bar-note fit-label"}>
      {lot.label}
    </text>
  );
}
