/** The ground of a small time drawing: nights with nobody on site, and the lines and labels of its axis. */
import { subtract, union } from "../../src/core/calendar/intervals.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import type { SiteTime } from "../present/site-time.ts";
import { axisTicks } from "../present/ticks.ts";

type TimeGroundProps = {
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly from: number;
  readonly until: number;
  /** Minute to pixel, and pixels a minute. */
  readonly x: (minute: number) => number;
  readonly scale: number;
  readonly width: number;
  readonly height: number;
  /** Height of the axis. */
  readonly head: number;
};

export function TimeGround({ problem, time, from, until, x, scale, width, height, head }: TimeGroundProps) {
  const onSite = union(...problem.crews.map((crew) => crew.present));
  const nights = problem.crews.length === 0 ? [] : subtract([[Math.floor(from), Math.ceil(until)]], onSite);
  const ticks = axisTicks(time, Math.ceil(from), Math.floor(until), scale).filter(
    ({ minute, day }) => x(minute) < width - (day ? 70 : 24),
  );
  return (
    <>
      {nights.map(([start, end]) => (
        <rect
          key={start}
          x={x(start)}
          width={Math.max(0.5, x(end) - x(start))}
          y={head - 16}
          height={height - head + 16}
          fill="var(--night)"
        />
      ))}
      {ticks.map(({ minute, label, day }) => (
        <g key={minute}>
          <line
            x1={x(minute)}
            x2={x(minute)}
            y1={day ? 4 : head - 6}
            y2={height}
            stroke="var(--line)"
            strokeWidth={day ? 1.25 : 0.75}
          />
          <text
            x={x(minute) + (day ? 4 : 0)}
            y={day ? 13 : head - 9}
            className={day ? "axis-day" : "axis-hour"}
            textAnchor={day ? "start" : "middle"}
          >
            {label}
          </text>
        </g>
      ))}
    </>
  );
}
