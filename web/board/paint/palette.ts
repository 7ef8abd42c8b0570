/**
 * Colours for the canvas: the tokens of a theme, or the system's own when forced colours are on (a canvas is not recoloured by
 * the browser). Patterns and shapes stay the same in all of them, because they carry the meaning.
 */
import { COLOURS, type ColourRole, MARKER_WASH, type Theme } from "../../tokens/tokens.ts";

export type Palette = Readonly<Record<ColourRole, string>> & {
  /** Key for caches. */
  readonly name: "light" | "dark" | "forced";
  readonly markerWash: number;
};

export function themePalette(theme: Theme): Palette {
  const entries = (Object.keys(COLOURS) as ColourRole[]).map((role) => [role, COLOURS[role][theme]] as const);
  return { ...(Object.fromEntries(entries) as Record<ColourRole, string>), name: theme, markerWash: MARKER_WASH[theme] };
}

const channels = (colour: string): readonly number[] | null => {
  if (/^#[0-9a-f]{6}$/i.test(colour)) return [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16));
  const numbers = colour.match(/[\d.]+/g)?.map(Number) ?? [];
  return colour.startsWith("rgb") && numbers.length >= 3 ? numbers.slice(0, 3) : null;
};

/** A colour with so much of another over it; what cannot be read as a colour stays as it is. */
export function mixed(below: string, above: string, share: number): string {
  const a = channels(below);
  const b = channels(above);
  if (!a || !b) return below;
  return `rgb(${a.map((value, i) => Math.round(value + ((b[i] as number) - value) * share)).join(", ")})`;
}

/** System colours as the names of CSS Color 4, section 6.2. Machine and rig work differ by their row groups alone here. */
const FORCED: Palette = {
  name: "forced",
  markerWash: 0.35,
  sheet: "Canvas",
  panel: "Canvas",
  raised: "Canvas",
  ink: "CanvasText",
  ink2: "CanvasText",
  line: "GrayText",
  edge: "CanvasText",
  night: "Canvas",
  closed: "Canvas",
  closedDot: "GrayText",
  machine: "CanvasText",
  onMachine: "Canvas",
  machineTint: "Canvas",
  rig: "CanvasText",
  onRig: "Canvas",
  rigTint: "Canvas",
  held: "CanvasText",
  maintenance: "CanvasText",
  maintenanceTint: "Canvas",
  warn: "LinkText",
  warnTint: "Canvas",
  bad: "LinkText",
  badTint: "Canvas",
  onBad: "Canvas",
  rush: "CanvasText",
  onRush: "Canvas",
  marker: "Highlight",
  ghost: "GrayText",
  chosenRow: "Canvas",
  accent: "CanvasText",
  onAccent: "Canvas",
};

const QUIET_SHARE = 0.55;

/** A canvas off the page resolves system colours by its own scheme, so they are resolved where the page is: `resolve` names an RGB colour. */
export function forcedPalette(resolve: (systemColour: string) => string): Palette {
  const entries = (Object.keys(COLOURS) as ColourRole[]).map((role) => [role, resolve(FORCED[role])] as const);
  const resolved = Object.fromEntries(entries) as Record<ColourRole, string>;
  // The grid and the dots of closed time stay behind the work: such colours are as loud as text in some of these themes.
  const quiet = (colour: string): string => mixed(resolved.sheet, colour, QUIET_SHARE);
  return { ...FORCED, ...resolved, line: quiet(resolved.line), closedDot: quiet(resolved.closedDot) };
}
