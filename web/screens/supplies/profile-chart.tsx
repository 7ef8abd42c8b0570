/** One supply in time as steps: columns up to what is drawn, a line for what is there, the excess cross-hatched with a toothed top. */
import { useId } from "react";
import type { Profile, Step } from "./supply-profile.ts";

const HEIGHTS = { supply: 84, kit: 44 } as const;
const TOP = 10;

export function ProfileChart({
  steps,
  start,
  end,
  now,
  ticks,
  label,
  profile,
}: {
  readonly steps: readonly Step[];
  readonly start: number;
  readonly end: number;
  readonly now: number;
  readonly ticks: readonly { readonly minute: number; readonly label: string }[];
  readonly label: string;
  readonly profile: Profile;
}) {
  const hatch = useId();
  const height = HEIGHTS[profile.kind];
  const most = Math.max(1, ...steps.map(({ drawn, there }) => Math.max(drawn, there)));
  const width = 1000;
  const x = (minute: number): number => ((minute - start) / (end - start)) * width;
  const y = (amount: number): number => TOP + (height - TOP) * (1 - amount / most);
  const line = steps
    .map((step, i) => `${i === 0 ? "M" : "L"}${x(step.start)} ${y(step.there)}L${x(step.end)} ${y(step.there)}`)
    .join("");
  return (
    <figure className="profile">
      <svg viewBox={`0 0 ${width} ${height}`} preserveAspectRatio="none" height={height} role="img" aria-label={label}>
        <defs>
          <pattern id={hatch} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <rect width="6" height="6" fill="var(--bad-tint)" />
            <path d="M0 0V6M0 0H6" stroke="var(--bad)" strokeWidth="1.6" />
          </pattern>
        </defs>
        {ticks.map(({ minute }) => (
          <line key={minute} x1={x(minute)} x2={x(minute)} y1={TOP} y2={height} className="profile-tick" />
        ))}
        {steps.map((step) => {
          const [left, right] = [x(step.start), x(step.end)];
          const within = Math.min(step.drawn, step.there);
          return (
            <g key={step.start}>
              {within > 0 ? (
                <rect x={left} y={y(within)} width={right - left} height={height - y(within)} className={profile.kind} />
              ) : null}
              {step.drawn > step.there ? (
                <>
                  <rect
                    x={left}
                    y={y(step.drawn)}
                    width={right - left}
                    height={y(step.there) - y(step.drawn)}
                    fill={`url(#${hatch})`}
                  />
                  <path d={toothed(left, right, y(step.drawn))} className="profile-over" />
                </>
              ) : null}
            </g>
          );
        })}
        <path d={line} className="profile-there" />
        {now > start && now < end ? <line x1={x(now)} x2={x(now)} y1="0" y2={height} className="profile-now" /> : null}
      </svg>
      <figcaption aria-hidden="true">
        {ticks.map(({ minute, label: text }) => (
          <span key={minute} style={{ left: `${((minute - start) / (end - start)) * 100}%` }}>
            {text}
          </span>
        ))}
      </figcaption>
    </figure>
  );
}

const TOOTH = 7;

function toothed(left: number, right: number, y: number): string {
  let path = `M${left} ${y}`;
  for (let at = left; at < right; at += TOOTH)
    path += `L${Math.min(at + TOOTH / 2, right)} ${y - 5}L${Math.min(at + TOOTH, right)} ${y}`;
  return path;
}
