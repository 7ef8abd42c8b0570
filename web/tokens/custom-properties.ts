/** The tokens as CSS custom properties: `--machine-tint`, `--space-3`. Written into the style sheet at build time. */
import { COLOURS, type ColourRole, FONT_FAMILY, MARKER_WASH, SPACE, type Theme, TYPE } from "./tokens.ts";

/** Where the reader's system imposes its colours: grounds, text, and marks that patterns and shapes must then tell apart. */
export const FORCED: Readonly<Record<ColourRole, string>> = {
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
  warn: "CanvasText",
  warnTint: "Canvas",
  bad: "CanvasText",
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

const kebab = (name: string): string => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

const colours = (theme: Theme): string =>
  [
    `color-scheme:${theme};`,
    ...(Object.keys(COLOURS) as ColourRole[]).map((role) => `--${kebab(role)}:${COLOURS[role][theme]};`),
    `--marker-wash:${MARKER_WASH[theme]};`,
  ].join("");

const forced = (): string => (Object.keys(FORCED) as ColourRole[]).map((role) => `--${kebab(role)}:${FORCED[role]};`).join("");

/** System theme unless the root element carries data-theme. Print always uses the light sheet. */
export function customPropertiesCss(): string {
  const sizes = [
    `--font:${FONT_FAMILY};`,
    ...SPACE.map((space, i) => `--space-${i + 1}:${space / 16}rem;`),
    ...Object.entries(TYPE).map(([name, { size }]) => `--size-${kebab(name)}:${size / 16}rem;`),
    // Inside a drawing that grows as a whole with the reader's text.
    ...Object.entries(TYPE).map(([name, { size }]) => `--drawn-${kebab(name)}:${size}px;`),
  ].join("");
  return [
    `:root{${sizes}${colours("light")}}`,
    `@media (prefers-color-scheme:dark){:root:not([data-theme="light"]){${colours("dark")}}}`,
    `:root[data-theme="dark"]{${colours("dark")}}`,
    `@media (forced-colors:active){:root,:root:not([data-theme="light"]),:root[data-theme="dark"]{${forced()}}}`,
    `@media print{:root,:root:not([data-theme="light"]),:root[data-theme="dark"]{${colours("light")}}}`,
  ].join("\n");
}
