/**
 * Contrast of colours after WCAG 2.2 (relative luminance and contrast ratio as defined in its glossary,
 * https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio), and the pairs that must hold it: 4.5 for text, 3.0 for marks.
 */
import { COLOURS, type ColourRole, MARKER_WASH, type Theme } from "./tokens.ts";

type Rgb = readonly [number, number, number];

export function rgbOf(hex: string): Rgb {
  const value = Number.parseInt(hex.slice(1), 16);
  return [(value >> 16) & 255, (value >> 8) & 255, value & 255];
}

const linear = (channel: number): number => {
  const share = channel / 255;
  return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
};

const luminance = ([red, green, blue]: Rgb): number => 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);

/** 1 (none) to 21. */
export function contrastRatio(a: Rgb, b: Rgb): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

/** `over` laid on `ground` at that opacity. */
export const laidOver = (over: Rgb, ground: Rgb, opacity: number): Rgb =>
  [0, 1, 2].map((i) => (over[i] as number) * opacity + (ground[i] as number) * (1 - opacity)) as unknown as Rgb;

/** A ground is a role, or the marker pen over a role. */
export type Ground = ColourRole | { readonly markerOver: ColourRole };

export type ContrastPair = { readonly front: ColourRole; readonly ground: Ground; readonly least: number };

const pairs = (least: number, front: ColourRole, grounds: readonly Ground[]): readonly ContrastPair[] =>
  grounds.map((ground) => ({ front, ground, least }));

const TEXT = 4.5;
const MARK = 3;

/** Every combination that screens use. A new combination belongs here first. */
export const CONTRAST_PAIRS: readonly ContrastPair[] = [
  ...pairs(TEXT, "ink", [
    "sheet",
    "panel",
    "raised",
    "night",
    "closed",
    "chosenRow",
    "maintenanceTint",
    "warnTint",
    "badTint",
    "machineTint",
    "rigTint",
    { markerOver: "sheet" },
  ]),
  ...pairs(TEXT, "ink2", ["sheet", "panel", "raised", "night", "closed", "chosenRow"]),
  ...pairs(MARK, "edge", ["sheet", "panel", "raised"]),
  ...pairs(MARK, "machine", ["sheet", "panel", "raised", "night", "closed", "machineTint", { markerOver: "sheet" }]),
  ...pairs(TEXT, "onMachine", ["machine"]),
  ...pairs(MARK, "rig", ["sheet", "panel", "raised", "night", "closed", "rigTint", { markerOver: "sheet" }]),
  ...pairs(TEXT, "onRig", ["rig"]),
  ...pairs(MARK, "held", ["sheet", "panel", "raised", "night", "closed"]),
  ...pairs(TEXT, "maintenance", ["sheet", "maintenanceTint"]),
  ...pairs(TEXT, "warn", ["sheet", "panel", "raised", "warnTint", "chosenRow"]),
  ...pairs(TEXT, "bad", ["sheet", "panel", "raised", "badTint"]),
  ...pairs(TEXT, "onBad", ["bad"]),
  ...pairs(TEXT, "rush", ["sheet", "panel", "raised"]),
  ...pairs(TEXT, "onRush", ["rush"]),
  ...pairs(TEXT, "ghost", ["sheet"]),
  ...pairs(MARK, "ghost", ["night", "closed", "panel"]),
  ...pairs(TEXT, "onAccent", ["accent"]),
];

export function contrastOf({ front, ground }: ContrastPair, theme: Theme): number {
  const below =
    typeof ground === "string"
      ? rgbOf(COLOURS[ground][theme])
      : laidOver(rgbOf(COLOURS.marker[theme]), rgbOf(COLOURS[ground.markerOver][theme]), MARKER_WASH[theme]);
  return contrastRatio(rgbOf(COLOURS[front][theme]), below);
}
