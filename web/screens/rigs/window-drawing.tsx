/**
 * Free windows on one shared time line, a row for each rig: planned work in grey, each window in an outline with the number of its
 * card. For looking; the cards say the same in words.
 */
import { useId, useRef } from "react";
import type { FreeWindowsAnswer } from "../../../src/contract/api/questions/free-windows.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { TimeGround } from "../../parts/time-ground.tsx";
import { useWidth } from "../../parts/use-width.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { ROW } from "../../tokens/tokens.ts";

const NAMES = 176;
const HEAD = 34;
const HEIGHT = ROW.normal.row;

type WindowDrawingProps = {
  readonly answer: FreeWindowsAnswer;
  readonly problem: Problem;
  readonly plan: Plan;
  readonly time: SiteTime;
};

export function WindowDrawing({ answer, problem, plan, time }: WindowDrawingProps) {
  const frame = useRef<HTMLDivElement>(null);
  const width = useWidth(frame, 1100);
  const prefix = useId();
  const machines = [...new Set([...answer.windows, ...answer.full].map(({ machine }) => machine))];
  const last = Math.max(answer.earliest + 1440, ...answer.windows.map(({ end }) => end), ...answer.better.map(({ end }) => end));
  const from = answer.earliest - (last - answer.earliest) * 0.02;
  const until = Math.min(problem.horizon, last + (last - answer.earliest) * 0.06);
  const scale = (width - NAMES - 8) / (until - from);
  const x = (minute: number): number => NAMES + (Math.min(Math.max(minute, from), until) - from) * scale;
  const height = HEAD + machines.length * HEIGHT + 6;
  const work = workOf(problem, plan);
  const { bar, low, above } = ROW.normal;
  return (
    <div ref={frame} className="window-drawing">
      <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
        <defs>
          <clipPath id={`${prefix}-field`}>
            <rect x={NAMES} y="0" width={Math.max(0, width - NAMES)} height={height} />
          </clipPath>
        </defs>
        <g clipPath={`url(#${prefix}-field)`}>
          <TimeGround {...{ problem, time, from, until, x, scale, width, height }} head={HEAD} />
        </g>
        <line x1={0} x2={width} y1={HEAD} y2={HEAD} stroke="var(--edge)" />
        {machines.map((machine, i) => {
          const top = HEAD + i * HEIGHT;
          const y = top + above;
          return (
            <g key={machine}>
              <line x1={0} x2={width} y1={top + HEIGHT} y2={top + HEIGHT} stroke="var(--line)" strokeWidth="0.75" />
              <text x={4} y={top + 21} className="row-name">
                {problem.machines.find(({ id }) => id === machine)?.name ?? machine}
              </text>
              {work(machine).map(({ key, start, end }) =>
                end <= from || start >= until ? null : (
                  <rect
                    key={key}
                    x={x(start)}
                    width={Math.max(1, x(end) - x(start))}
                    y={y + bar - low}
                    height={low}
                    fill="var(--held)"
                    opacity="0.55"
                  />
                ),
              )}
              {answer.windows.map((window, n) =>
                window.machine === machine ? (
                  <g key={`${window.start}`}>
                    <rect
                      x={x(window.start) + 0.75}
                      width={Math.max(14, x(window.end) - x(window.start) - 1.5)}
                      y={y + 0.75}
                      height={bar - 1.5}
                      fill="var(--rig-tint)"
                      stroke="var(--rig)"
                      strokeWidth="1.5"
                    />
                    <text x={x(window.start) + 5} y={y + 16.5} className="bar-note strong-text">
                      {n + 1}
                    </text>
                  </g>
                ) : null,
              )}
            </g>
          );
        })}
        {time.now >= from ? (
          <line x1={x(time.now)} x2={x(time.now)} y1={HEAD - 16} y2={height} stroke="var(--ink)" strokeWidth="2" />
        ) : null}
      </svg>
    </div>
  );
}

function workOf(problem: Problem, plan: Plan) {
  const modes = new Map(problem.operations.map((operation) => [operation.id, operation.modes]));
  const lots = plan.operations.flatMap(({ operation, lots: placed }) =>
    placed.map((lot) => ({
      key: `${operation} ${lot.start} ${lot.end}`,
      start: lot.start,
      end: lot.end,
      machines: modes.get(operation)?.find(({ id }) => id === lot.mode)?.machines ?? [],
    })),
  );
  return (machine: string) => lots.filter(({ machines }) => machines.includes(machine));
}
