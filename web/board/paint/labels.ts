/**
 * Text on the canvas: widths and finished bitmaps are remembered, because shaping text is the dearest thing a frame does.
 * A label carries a halo in the colour of its own ground, so that lines behind it never strike it through.
 */
import { FONT_FAMILY, TYPE } from "../../tokens/tokens.ts";

export type Face = "label" | "strong" | "note" | "row" | "axis" | "axisStrong" | "value";

const font = (size: number, weight: number): string => `${weight} ${size}px ${FONT_FAMILY}`;
export const FACES: Readonly<Record<Face, string>> = {
  label: font(TYPE.barLabel.size, TYPE.barLabel.weight),
  strong: font(TYPE.barLabelChosen.size, TYPE.barLabelChosen.weight),
  note: font(TYPE.axis.size, 400),
  row: font(TYPE.rowName.size, TYPE.rowName.weight),
  axis: font(TYPE.axis.size, TYPE.axis.weight),
  axisStrong: font(TYPE.axis.size + 0.5, 600),
  value: font(TYPE.barLabel.size, 600),
};

/** Fonts the board draws with, to be loaded before the first picture. */
export const FACE_FONTS: readonly string[] = [...new Set(Object.values(FACES))];

const HEIGHT = 19;
const BASELINE = 14;
const MARGIN = 4;
/** Enough for two screens full of labels; beyond it the oldest go. */
const BITMAPS_MAX = 4000;
const HALO = 3;

export type Labels = {
  width(text: string, face: Face): number;
  /** Left end and baseline. */
  draw(ctx: CanvasRenderingContext2D, text: string, x: number, y: number, face: Face, colour: string, halo: string | null): void;
  /** The same texts, written at once and not kept: for pictures that are kept themselves. */
  readonly unkept: Labels;
  /** The longest of the texts that fits, or null. */
  fitting(texts: readonly string[], room: number, face: Face): string | null;
};

function write(
  pen: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D,
  text: string,
  x: number,
  y: number,
  face: Face,
  colour: string,
  halo: string | null,
): void {
  pen.font = FACES[face];
  if (halo !== null) {
    pen.strokeStyle = halo;
    pen.lineWidth = HALO * 2;
    pen.lineJoin = "round";
    pen.strokeText(text, x, y);
  }
  pen.fillStyle = colour;
  pen.fillText(text, x, y);
}

export function makeLabels(density: number): Labels {
  const widths = new Map<string, number>();
  const bitmaps = new Map<string, ImageBitmap>();
  const measure = new OffscreenCanvas(1, 1).getContext("2d");
  let measureFont = "";
  const width = (text: string, face: Face): number => {
    const key = face + text;
    const known = widths.get(key);
    if (known !== undefined) return known;
    if (!measure) return text.length * 6;
    if (measureFont !== face) measure.font = FACES[face];
    measureFont = face;
    const value = measure.measureText(text).width;
    widths.set(key, value);
    return value;
  };
  const fitting: Labels["fitting"] = (texts, room, face) => {
    for (const text of texts) if (text !== "" && width(text, face) <= room) return text;
    return null;
  };
  const unkept: Labels = {
    width,
    fitting,
    draw(ctx, text, x, y, face, colour, halo) {
      if (text === "") return;
      ctx.save();
      write(ctx, text, Math.round(x * density) / density, Math.round(y * density) / density, face, colour, halo);
      ctx.restore();
    },
    get unkept() {
      return unkept;
    },
  };
  return {
    width,
    fitting,
    unkept,
    draw(ctx, text, x, y, face, colour, halo) {
      if (text === "") return;
      const key = `${text}|${face}|${colour}|${halo ?? ""}`;
      let bitmap = bitmaps.get(key);
      const wide = Math.ceil((width(text, face) + 2 * MARGIN) * density);
      const high = Math.ceil(HEIGHT * density);
      if (!bitmap) {
        const canvas = new OffscreenCanvas(wide, high);
        const pen = canvas.getContext("2d");
        if (!pen) return;
        pen.scale(density, density);
        write(pen, text, MARGIN, BASELINE, face, colour, halo);
        bitmap = canvas.transferToImageBitmap();
        if (bitmaps.size >= BITMAPS_MAX) {
          const oldest = bitmaps.keys().next().value;
          if (oldest !== undefined) {
            bitmaps.get(oldest)?.close();
            bitmaps.delete(oldest);
          }
        }
        bitmaps.set(key, bitmap);
      }
      const left = Math.round((x - MARGIN) * density) / density;
      const top = Math.round((y - BASELINE) * density) / density;
      ctx.drawImage(bitmap, left, top, wide / density, high / density);
    },
  };
}
