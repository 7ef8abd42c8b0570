/**
 * The rows of a board whose view moves, laid from finished pieces: a frame costs the pixels it covers, not the bars it shows. Pieces
 * are cut at fixed places of the whole sheet, kept while what they show stays the same, and painted a little ahead of the movement.
 * Promises that no piece outlives a change of plan, choice, theme, zoom, size of rows or minute, and a limit on what is kept.
 * In a piece, words stay where they stand; a picture at rest, where they keep clear of the edges, is painted afresh and never from here.
 */
import { type Tier, tierOf } from "../camera.ts";
import { type BoardView, type Scene, type Surface, sceneOf } from "./surface.ts";

/** Size of a piece in device pixels: low enough for one to be painted within a frame beside everything else. */
const ACROSS = 384;
const DOWN = 64;
/** In device pixels: what reaches over the edge of its bar - differences of late orders, balloons, discs; frames and teeth. */
const MARGIN_ACROSS = 112;
const MARGIN_DOWN = 16;
/** Of so many pictures full of pieces; what was used longest ago goes first. */
const PICTURES_KEPT = 3;
/** Nearest, a picture shows few bars and many words, which keep clear of its edges even while it moves. */
const LAID: readonly Tier[] = ["full", "flat", "silhouette", "column"];

export type Sheet = {
  /**
   * Whether the next view is one to lay: not nearest, of the scale of the view before it (while the zoom changes no piece would live for
   * a second frame), and with nothing in the hand.
   */
  serves(view: BoardView): boolean;
  /** Lays the time area of the scene; `paint` paints what is missing. */
  lay(surface: Surface, scene: Scene, paint: Paint): void;
  clear(): void;
};

/** A piece of a picture; the picture goes with the last of its pieces. */
type Piece = { readonly picture: { readonly bitmap: ImageBitmap; pieces: number }; readonly x: number; readonly y: number };
type Paint = (surface: Surface, scene: Scene) => void;
/** Columns and rows of pieces, both ends included. */
type Block = { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
type Shown = readonly unknown[];

/** All that a piece shows, apart from its place. */
const shownBy = ({ density, palette }: Surface, { model, view }: Scene): Shown => [
  density,
  palette,
  model,
  view.camera.scale,
  view.density,
  view.chosenOrder,
  view.focusKey,
  view.showPublished,
  view.showLinks,
  view.lift,
  view.ghosts,
  view.chain,
  view.words,
  view.now,
];

export function createSheet(): Sheet {
  const pieces = new Map<string, Piece>();
  let shown: Shown = [];
  let scaleBefore = Number.NaN;
  let leftBefore = Number.NaN;

  const drop = (key: string): void => {
    const picture = pieces.get(key)?.picture;
    pieces.delete(key);
    if (picture && --picture.pieces === 0) picture.bitmap.close();
  };

  /** The smallest block that holds all missing pieces of a block. */
  const missingIn = (block: Block): Block | null => {
    let found: Block | null = null;
    for (let row = block.top; row <= block.bottom; row++) {
      for (let column = block.left; column <= block.right; column++) {
        if (pieces.has(keyOf(column, row))) continue;
        const { left, right, top, bottom }: Block = found ?? { left: column, right: column, top: row, bottom: row };
        found = {
          left: Math.min(left, column),
          right: Math.max(right, column),
          top: Math.min(top, row),
          bottom: Math.max(bottom, row),
        };
      }
    }
    return found;
  };

  const clear = (): void => {
    for (const key of [...pieces.keys()]) drop(key);
  };

  /** Paints a block in one go, with its margins. */
  const make = (surface: Surface, scene: Scene, block: Block, paint: Paint): void => {
    const { density } = surface;
    const { scale } = scene.view.camera;
    const across = (block.right - block.left + 1) * ACROSS;
    const down = (block.bottom - block.top + 1) * DOWN;
    const table = new OffscreenCanvas(across, down);
    const ctx = table.getContext("2d", { alpha: false }) as unknown as CanvasRenderingContext2D | null;
    if (!ctx) return;
    const left = (block.left * ACROSS - MARGIN_ACROSS) / density;
    const view: BoardView = {
      ...scene.view,
      camera: { left: left / scale, scale, top: (block.top * DOWN - MARGIN_DOWN) / density },
      size: {
        ...{ names: 0, axis: 0, strip: 0 },
        width: (across + 2 * MARGIN_ACROSS) / density,
        height: (down + 2 * MARGIN_DOWN) / density,
      },
    };
    ctx.setTransform(density, 0, 0, density, -MARGIN_ACROSS, -MARGIN_DOWN);
    paint(
      { ...surface, ctx, labels: surface.labels.unkept },
      {
        ...sceneOf(scene.model, view, density),
        edges: { left: Number.NEGATIVE_INFINITY, right: Number.POSITIVE_INFINITY },
        // Rounded in the whole sheet, so that neighbours meet without a seam.
        x: (minute) => (Math.round(minute * scale * density) - block.left * ACROSS + MARGIN_ACROSS) / density,
      },
    );
    const picture = { bitmap: table.transferToImageBitmap(), pieces: 0 };
    for (let row = block.top; row <= block.bottom; row++)
      for (let column = block.left; column <= block.right; column++) {
        const key = keyOf(column, row);
        drop(key);
        pieces.set(key, { picture, x: (column - block.left) * ACROSS, y: (row - block.top) * DOWN });
        picture.pieces++;
      }
  };

  return {
    clear,
    serves(view) {
      const { scale } = view.camera;
      const same = scale === scaleBefore;
      scaleBefore = scale;
      return same && view.lift === null && LAID.includes(tierOf(view.camera));
    },
    lay(surface, scene, paint) {
      const shows = shownBy(surface, scene);
      if (shows.some((each, i) => each !== shown[i])) {
        clear();
        shown = shows;
      }
      const { ctx, density } = surface;
      const { camera, size } = scene.view;
      const x = Math.round(camera.left * camera.scale * density);
      const y = Math.round(camera.top * density);
      const seen: Block = {
        left: Math.floor(x / ACROSS),
        right: Math.floor((x + scene.width * density - 1) / ACROSS),
        top: Math.floor(y / DOWN),
        bottom: Math.floor((y + scene.height * density - 1) / DOWN),
      };
      const missing = missingIn(seen);
      if (missing) make(surface, scene, missing, paint);
      ctx.save();
      ctx.setTransform(1, 0, 0, 1, Math.round(size.names * density), Math.round(size.axis * density));
      ctx.imageSmoothingEnabled = false;
      for (let row = seen.top; row <= seen.bottom; row++) {
        for (let column = seen.left; column <= seen.right; column++) {
          const key = keyOf(column, row);
          const piece = pieces.get(key);
          if (!piece) continue;
          const [left, top] = [column * ACROSS - x, row * DOWN - y];
          ctx.drawImage(piece.picture.bitmap, piece.x, piece.y, ACROSS, DOWN, left, top, ACROSS, DOWN);
          // Used last, to go last.
          pieces.delete(key);
          pieces.set(key, piece);
        }
      }
      ctx.restore();
      // Of the column that comes next in the way of the movement, as many pieces as bring it about in time.
      const way = x - leftBefore;
      leftBefore = x;
      if (missing === null && way !== 0 && Math.abs(way) < ACROSS) {
        const ahead = way > 0 ? seen.right + 1 : seen.left - 1;
        const rows = seen.bottom - seen.top + 1;
        let due = Math.ceil((rows * Math.abs(way)) / ACROSS);
        for (let row = seen.top; row <= seen.bottom && due > 0; row++) {
          if (pieces.has(keyOf(ahead, row))) continue;
          make(surface, scene, { left: ahead, right: ahead, top: row, bottom: row }, paint);
          due--;
        }
      }
      const most = PICTURES_KEPT * (seen.bottom - seen.top + 1) * (seen.right - seen.left + 2);
      for (const key of pieces.keys()) {
        if (pieces.size <= most) break;
        drop(key);
      }
    },
  };
}

const keyOf = (column: number, row: number): string => `${column} ${row}`;
