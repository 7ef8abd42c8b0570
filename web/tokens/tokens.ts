/**
 * The look of the product as data: colours of both themes, sizes, weights, spaces and line widths.
 * Everything painted - style sheets, canvas, print - reads it from here, and a test computes every contrast pair below.
 * Light is a drawing sheet, dark a blueprint; night is darker than day in both. No meaning rests on hue alone.
 */

export type Theme = "light" | "dark";

/** One colour in both themes. */
type Pair = { readonly light: string; readonly dark: string };

export const COLOURS = {
  /** Grounds: the drawing itself, panels around it, things that lie on panels. */
  sheet: { light: "#FAFBF9", dark: "#0E1B2A" },
  panel: { light: "#EDF1F1", dark: "#142539" },
  raised: { light: "#FFFFFF", dark: "#1A2E45" },
  /** Text: first and second voice. */
  ink: { light: "#17232E", dark: "#E9F0F6" },
  ink2: { light: "#4A5A66", dark: "#A9BCCD" },
  /** Hair lines are decoration; edges bound things one can use. */
  line: { light: "#CDD6D8", dark: "#2A405A" },
  edge: { light: "#75858F", dark: "#7390AC" },
  /** Ground of hours in which nobody is there, and of closed days. */
  night: { light: "#E3E9EC", dark: "#091320" },
  closed: { light: "#D8DFE2", dark: "#060E18" },
  closedDot: { light: "#9AA8B0", dark: "#3D546D" },
  /** Work on machines. */
  machine: { light: "#2B5C8F", dark: "#69A2DC" },
  onMachine: { light: "#FFFFFF", dark: "#081523" },
  machineTint: { light: "#D3E2F0", dark: "#1D3D60" },
  /** Work on test rigs. */
  rig: { light: "#0E6F63", dark: "#48B7A2" },
  onRig: { light: "#FFFFFF", dark: "#04201B" },
  rigTint: { light: "#CBE5DF", dark: "#134740" },
  /** Waiting, resting: edge and dots. */
  held: { light: "#55646F", dark: "#A3B6C8" },
  maintenance: { light: "#6B5B3E", dark: "#CDB98E" },
  maintenanceTint: { light: "#E9E3D3", dark: "#2E2C26" },
  /** Late. */
  warn: { light: "#944600", dark: "#F2A85B" },
  warnTint: { light: "#FBE7D0", dark: "#3B2A18" },
  /** Conflict, refusal. */
  bad: { light: "#B3202A", dark: "#FF807C" },
  badTint: { light: "#FBE1E0", dark: "#45212A" },
  onBad: { light: "#FFFFFF", dark: "#2A0508" },
  rush: { light: "#6A2C90", dark: "#CDA2F0" },
  onRush: { light: "#FFFFFF", dark: "#240A38" },
  /** Marker pen over the chosen order; see MARKER_WASH. */
  marker: { light: "#FFD84D", dark: "#FFD84D" },
  /** Phantom outline of the published place. */
  ghost: { light: "#586772", dark: "#93A8BC" },
  /** Chosen row of a list. */
  chosenRow: { light: "#FFF0B3", dark: "#3A3A2C" },
  /** The one button that matters. */
  accent: { light: "#17232E", dark: "#E9F0F6" },
  onAccent: { light: "#FFFFFF", dark: "#0E1B2A" },
} as const satisfies Record<string, Pair>;

export type ColourRole = keyof typeof COLOURS;

/** How strongly the marker covers what lies under it. */
export const MARKER_WASH: Readonly<Record<Theme, number>> = { light: 0.7, dark: 0.16 };

export const colour = (role: ColourRole, theme: Theme): string => COLOURS[role][theme];

/** One family for everything: figures of equal width by default, I l 1 distinct. */
export const FONT_FAMILY = '"IBM Plex Sans Condensed", "Arial Narrow", sans-serif';

/** Size in pixels, weight. */
export const TYPE = {
  barLabel: { size: 12, weight: 500 },
  barLabelChosen: { size: 12, weight: 600 },
  axis: { size: 11.5, weight: 500 },
  rowName: { size: 13, weight: 500 },
  body: { size: 14, weight: 400 },
  blockValue: { size: 15, weight: 600 },
  title: { size: 19, weight: 600 },
  stationBody: { size: 18, weight: 400 },
  stationTitle: { size: 28, weight: 600 },
} as const;

export const SPACE = [2, 4, 6, 8, 10, 14, 20, 28] as const;

/** Line widths in pixels; nothing that means something is thinner than `link`. */
export const LINE = { hair: 0.75, edge: 1, link: 1.6, strong: 2 } as const;

/** Row and bar heights of boards, in pixels: `low` is work without people. */
export const ROW = {
  normal: { row: 33, bar: 24, low: 11, above: 4 },
  dense: { row: 26, bar: 18, low: 8, above: 4 },
  touch: { row: 48, bar: 36, low: 16, above: 6 },
} as const;

export const BOARD = { groupHeading: 21, axis: 58, strip: 82, names: 176, panel: 296 } as const;

/** Panels slide in this time unless reduced motion is asked for; data never moves. */
export const PANEL_MOTION_MS = 120;
