/**
 * Hatches and dots as repeating tiles at device density, made once per palette and density. A tile is anchored to the bar it fills
 * (the painter translates first), so hatches travel with their bars instead of swimming under them.
 */
import type { Palette } from "./palette.ts";

export type PatternName =
  | "setupMachine"
  | "setupRig"
  | "unloadMachine"
  | "unloadRig"
  | "maintenance"
  | "guilty"
  | "closed"
  | "short";

export type Patterns = { get(name: PatternName): CanvasPattern | string };

type Draw = (pen: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D, size: number) => void;

const diagonal =
  (colour: string, width: number, cross: boolean): Draw =>
  (pen, size) => {
    pen.strokeStyle = colour;
    pen.lineWidth = width;
    pen.beginPath();
    for (const shift of [-size, 0, size]) {
      pen.moveTo(shift - 1, size + 1);
      pen.lineTo(shift + size + 1, -1);
      if (cross) {
        pen.moveTo(shift - 1, -1);
        pen.lineTo(shift + size + 1, size + 1);
      }
    }
    pen.stroke();
  };

const level =
  (colour: string): Draw =>
  (pen, size) => {
    pen.fillStyle = colour;
    pen.fillRect(0, 1, size, 1.25);
  };

const dot =
  (colour: string): Draw =>
  (pen) => {
    pen.fillStyle = colour;
    pen.fillRect(2, 2, 1.5, 1.5);
  };

export function makePatterns(ctx: CanvasRenderingContext2D, palette: Palette, density: number): Patterns {
  const recipes: Record<PatternName, { readonly size: number; readonly ground: string | null; readonly draw: Draw }> = {
    setupMachine: { size: 6, ground: palette.machineTint, draw: diagonal(palette.machine, 1.15, false) },
    setupRig: { size: 6, ground: palette.rigTint, draw: diagonal(palette.rig, 1.15, false) },
    unloadMachine: { size: 4, ground: palette.machineTint, draw: level(palette.machine) },
    unloadRig: { size: 4, ground: palette.rigTint, draw: level(palette.rig) },
    maintenance: { size: 8, ground: palette.maintenanceTint, draw: diagonal(palette.maintenance, 0.7, true) },
    guilty: { size: 5, ground: palette.badTint, draw: diagonal(palette.bad, 1.3, true) },
    closed: { size: 8, ground: null, draw: dot(palette.closedDot) },
    short: { size: 5, ground: palette.badTint, draw: diagonal(palette.bad, 1.3, true) },
  };
  const made = new Map<PatternName, CanvasPattern | string>();
  return {
    get(name) {
      const known = made.get(name);
      if (known) return known;
      const { size, ground, draw } = recipes[name];
      const pixels = Math.max(1, Math.round(size * density));
      const tile = new OffscreenCanvas(pixels, pixels);
      const pen = tile.getContext("2d");
      if (!pen) return palette.line;
      pen.scale(pixels / size, pixels / size);
      if (ground !== null) {
        pen.fillStyle = ground;
        pen.fillRect(0, 0, size, size);
      }
      draw(pen, size);
      const pattern = ctx.createPattern(tile as unknown as CanvasImageSource, "repeat");
      if (!pattern) return palette.line;
      pattern.setTransform(new DOMMatrix().scale(size / pixels));
      made.set(name, pattern);
      return pattern;
    },
  };
}
