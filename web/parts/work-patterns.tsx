/**
 * The drawing language of work as SVG: hatch for setup, solid for runs, horizontal lines for unloading, dots for waiting;
 * tall where a person is needed, low where the machine runs alone. One definition for every small drawing on pages.
 */
import type { Segment } from "../present/segments.ts";
import { needsPerson } from "../present/segments.ts";
import { ROW } from "../tokens/tokens.ts";

/** Once inside each SVG; ids are prefixed because several drawings share a page. */
export function WorkPatterns({ prefix }: { readonly prefix: string }) {
  return (
    <defs>
      {(["machine", "rig"] as const).map((kind) => (
        <g key={kind}>
          <pattern
            id={`${prefix}-setup-${kind}`}
            width="6"
            height="6"
            patternUnits="userSpaceOnUse"
            patternTransform="rotate(45)"
          >
            <rect width="6" height="6" fill={`var(--${kind}-tint)`} />
            <rect width="1.6" height="6" fill={`var(--${kind})`} />
          </pattern>
          <pattern id={`${prefix}-alone-${kind}`} width="5" height="5" patternUnits="userSpaceOnUse">
            <rect width="5" height="5" fill={`var(--${kind}-tint)`} />
            <rect width="0.9" height="5" x="2" fill={`var(--${kind})`} />
          </pattern>
          <pattern id={`${prefix}-unload-${kind}`} width="4" height="4" patternUnits="userSpaceOnUse">
            <rect width="4" height="4" fill={`var(--${kind}-tint)`} />
            <rect width="4" height="1.5" y="1" fill={`var(--${kind})`} />
          </pattern>
        </g>
      ))}
      <pattern id={`${prefix}-waiting`} width="6" height="6" patternUnits="userSpaceOnUse">
        <rect width="6" height="6" fill="var(--sheet)" />
        <circle cx="3" cy="3" r="1" fill="var(--held)" />
      </pattern>
      <pattern id={`${prefix}-closed`} width="6" height="6" patternUnits="userSpaceOnUse">
        <rect width="6" height="6" fill="var(--closed)" />
        <circle cx="2" cy="2" r="0.7" fill="var(--closed-dot)" />
      </pattern>
    </defs>
  );
}

type BarProps = {
  readonly prefix: string;
  readonly segments: readonly Segment[];
  readonly rig: boolean;
  readonly x: (minute: number) => number;
  readonly top: number;
};

/** The stretches of one lot, `top` being the top of a tall bar. */
export function WorkBar({ prefix, segments, rig, x, top }: BarProps) {
  return (
    <g>
      {segments.map((segment) => (
        <Stretch key={`${segment.kind}${segment.start}`} prefix={prefix} segment={segment} rig={rig} x={x} top={top} />
      ))}
    </g>
  );
}

function Stretch({ prefix, segment, rig, x, top }: Omit<BarProps, "segments"> & { readonly segment: Segment }) {
  const hue = rig ? "rig" : "machine";
  const { bar, low } = ROW.normal;
  const left = x(segment.start);
  const width = Math.max(1.5, x(segment.end) - left);
  const tall = needsPerson(segment.kind);
  const box = { x: left, width, y: tall ? top : top + bar - low, height: tall ? bar : low };
  switch (segment.kind) {
    case "setup":
    case "unload":
      return <rect {...box} fill={`url(#${prefix}-${segment.kind}-${hue})`} stroke={`var(--${hue})`} />;
    case "attended":
    case "unattended":
      return <rect {...box} fill={`var(--${hue})`} />;
    case "done":
      return <rect {...box} fill={`var(--${hue}-tint)`} stroke={`var(--${hue})`} />;
    case "waiting":
      return <rect {...box} fill={`url(#${prefix}-waiting)`} stroke="var(--held)" />;
    case "paused":
      return (
        <g>
          <rect {...box} fill="var(--sheet)" stroke={`var(--${hue})`} />
          <line
            x1={left + 2}
            x2={left + width - 2}
            y1={box.y + low / 2}
            y2={box.y + low / 2}
            stroke={`var(--${hue})`}
            strokeWidth="2"
            strokeDasharray="5 4"
          />
        </g>
      );
  }
}
