/** The marks of the board as small drawings for counters, lists and the legend. Decoration beside words; never the only carrier. */
import type { ReactNode } from "react";

const Mark = ({ width = 16, children }: { readonly width?: number; readonly children: ReactNode }) => (
  <svg className="mark" width={width} height="16" viewBox={`0 0 ${width} 16`} aria-hidden="true">
    {children}
  </svg>
);

export const BadMark = () => (
  <Mark>
    <circle cx="8" cy="8" r="7" fill="var(--bad)" />
    <path d="M8 3.8v5M8 10.8v1.8" stroke="var(--on-bad)" strokeWidth="2" />
  </Mark>
);
export const LateMark = () => (
  <Mark>
    <path d="M0.5 2h7L4 7z" fill="var(--warn)" />
    <path d="M4 4v9h10M14 10v6" stroke="var(--warn)" strokeWidth="1.8" fill="none" />
  </Mark>
);
export const RushMark = () => (
  <Mark>
    <rect width="16" height="13" y="1" fill="var(--rush)" />
    <path d="M3.5 4l3.5 3.5L3.5 11M8.5 4l3.5 3.5L8.5 11" stroke="var(--on-rush)" strokeWidth="1.8" fill="none" />
  </Mark>
);
export const Balloon = ({ number }: { readonly number: number }) => <span className="balloon">{number}</span>;

/** One bar of the legend: what stands for what. */
type Kind =
  | "setup"
  | "attended"
  | "unattended"
  | "waits"
  | "paused"
  | "unload"
  | "rig"
  | "maintenance"
  | "published"
  | "pastDue"
  | "rush"
  | "frozen"
  | "pinned"
  | "heldSlot"
  | "conflict";

export function LegendMark({ kind }: { readonly kind: Kind }) {
  const id = `legend-${kind}`;
  const main = kind === "rig" ? "var(--rig)" : "var(--machine)";
  return (
    <svg className="mark" width="24" height="18" viewBox="0 0 24 18" aria-hidden="true">
      <defs>
        <pattern
          id={id}
          width="5"
          height="5"
          patternUnits="userSpaceOnUse"
          {...(kind === "unload" ? {} : { patternTransform: "rotate(45)" })}
        >
          {kind === "unload" ? <path d="M0 1h5" stroke={main} strokeWidth="1.2" /> : null}
          {kind === "setup" ? <path d="M1 0v5" stroke={main} strokeWidth="1.2" /> : null}
          {kind === "maintenance" ? <path d="M1 0v5M0 1h5" stroke="var(--maintenance)" strokeWidth="0.8" /> : null}
          {kind === "conflict" ? <path d="M1 0v5M0 1h5" stroke="var(--bad)" strokeWidth="1" /> : null}
        </pattern>
      </defs>
      {drawing(kind, id, main)}
    </svg>
  );
}

function drawing(kind: Kind, id: string, main: string): ReactNode {
  switch (kind) {
    case "setup":
    case "unload":
      return (
        <>
          <rect x="1" y="2" width="22" height="15" fill="var(--machine-tint)" />
          <rect x="1" y="2" width="22" height="15" fill={`url(#${id})`} stroke={main} />
        </>
      );
    case "attended":
    case "rig":
      return <rect x="0.5" y="2" width="23" height="15" fill={main} />;
    case "unattended":
      return <rect x="0.5" y="10" width="23" height="7" fill={main} />;
    case "waits":
      return (
        <>
          <rect x="0.5" y="9.5" width="23" height="7" fill="var(--sheet)" stroke="var(--held)" />
          <path d="M4 13h17" stroke="var(--held)" strokeWidth="1.6" strokeDasharray="1.6 3" />
        </>
      );
    case "paused":
      return (
        <>
          <rect x="0.5" y="9.5" width="23" height="7" fill="var(--sheet)" stroke={main} />
          <path d="M3 13h18" stroke={main} strokeWidth="1.8" strokeDasharray="5 3" />
        </>
      );
    case "maintenance":
      return <rect x="1" y="2" width="22" height="15" fill={`url(#${id})`} stroke="var(--maintenance)" />;
    case "published":
      return (
        <rect
          x="1"
          y="2"
          width="22"
          height="15"
          fill="none"
          stroke="var(--ghost)"
          strokeWidth="1.5"
          strokeDasharray="7 2.5 1.5 2.5 1.5 2.5"
        />
      );
    case "pastDue":
      return (
        <>
          <path d="M2 3h8L6 8z" fill="var(--warn)" />
          <path d="M6 5v10h16M22 11v6" stroke="var(--warn)" strokeWidth="1.8" fill="none" />
        </>
      );
    case "rush":
      return (
        <>
          <rect x="0.5" y="2" width="23" height="2.2" fill="var(--rush)" />
          <rect x="0.5" y="2" width="14" height="11" fill="var(--rush)" />
          <path d="M3 5l3 2.8-3 2.8M8 5l3 2.8-3 2.8" stroke="var(--on-rush)" strokeWidth="1.6" fill="none" />
        </>
      );
    case "frozen":
      return (
        <>
          <rect x="1" y="2" width="22" height="11" fill={main} />
          <path d="M2 14h6M4 14v3M6 14v3M16 14h6M18 14v3M20 14v3" stroke="var(--ink)" strokeWidth="1.8" />
        </>
      );
    case "pinned":
      return (
        <>
          <rect x="6" y="2" width="17" height="11" fill={main} />
          <circle cx="6" cy="12.5" r="4.4" fill="var(--sheet)" stroke="var(--ink)" strokeWidth="1.7" />
          <circle cx="6" cy="12.5" r="1.9" fill="var(--ink)" />
        </>
      );
    case "heldSlot":
      return (
        <>
          <rect x="5" y="2" width="18" height="12" fill="var(--machine-tint)" />
          <rect x="6" y="3" width="16" height="10" fill="none" stroke="var(--ink)" strokeWidth="2" strokeDasharray="2 3" />
          <rect x="0" y="4" width="11" height="13" fill="var(--sheet)" />
          <path d="M1 5h9M1 16h9M2 5.5h7L2 15.5h7z" fill="var(--ink)" stroke="var(--ink)" strokeWidth="1.4" />
        </>
      );
    case "conflict":
      return (
        <>
          <rect x="2" y="5" width="20" height="11" fill={`url(#${id})`} />
          <path d="M1.5 5v12h21V5l-3.5-3-3.5 3-3.5-3-3.5 3L5 2z" fill="none" stroke="var(--bad)" strokeWidth="1.8" />
        </>
      );
  }
}
