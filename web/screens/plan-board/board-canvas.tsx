/**
 * The drawing itself: two canvases (resting picture, bar in the hand) and the slips over them. Hidden from assistive
 *  technology; the focus grid beside it says the same. Draws at 1x while the view moves and sharp when it rests.
 */
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "react";
import { isAtHome } from "../../board/lift.ts";
import { paintBoard } from "../../board/paint/board-painter.ts";
import { FACE_FONTS, type Labels, makeLabels } from "../../board/paint/labels.ts";
import { paintMoving } from "../../board/paint/moving-layer.ts";
import type { Palette } from "../../board/paint/palette.ts";
import { makePatterns, type Patterns } from "../../board/paint/patterns.ts";
import { createSheet } from "../../board/paint/sheet.ts";
import type { BoardView, Surface } from "../../board/paint/surface.ts";
import { BOARD } from "../../tokens/tokens.ts";
import { liftView } from "./answers.ts";
import type { BoardController } from "./board-controller.ts";
import { HoverNote, SlipAtPointer } from "./board-slips.tsx";
import { paintWords, stripProfile } from "./paint-words.ts";
import { useBoard } from "./use-board.ts";
import { usePalette } from "./use-palette.ts";
import { usePointers } from "./use-pointers.ts";

/** Narrow screens give less room to names. */
const NARROW = 760;
const NAMES_NARROW = 118;
const DENSITY_MAX = 3;
/** The width of a canvas that nobody has painted. */
const UNPAINTED = 300;
/** The usual size of text at the root; where people want it larger, the drawing grows with it. */
const ROOT_PIXELS = 16;
const MINUTE_MS = 60_000;
/** By then the first picture has been seen. */
const KEEP_WORDS_MS = 800;

/** Patterns and labels per density; both are dear to make. Made anew when faces have come that words were drawn without. */
function useTools(palette: Palette, faces: number): (ctx: CanvasRenderingContext2D, density: number) => Surface {
  // biome-ignore lint/correctness/useExhaustiveDependencies: words measured without their face are measured again
  return useMemo(() => {
    const kept = new Map<number, { patterns: Patterns; labels: Labels }>();
    return (ctx, density) => {
      let tools = kept.get(density);
      if (!tools) {
        tools = { patterns: makePatterns(ctx, palette, density), labels: makeLabels(density) };
        kept.set(density, tools);
      }
      return { ctx, density, palette, ...tools };
    };
  }, [palette, faces]);
}

type BoardCanvasProps = {
  readonly controller: BoardController;
  readonly takeFocus: () => void;
  /** The name of a machine was clicked; left out: nothing comes of it. */
  readonly onMachine?: ((machine: string) => void) | undefined;
};

export function BoardCanvas({ controller, takeFocus, onMachine }: BoardCanvasProps) {
  const frame = useRef<HTMLDivElement>(null);
  const still = useRef<HTMLCanvasElement>(null);
  const hand = useRef<HTMLCanvasElement>(null);
  /** Words that are kept for the next picture cost the first one twice as much: there they are written straight down. */
  const keepWords = useRef(false);
  const palette = usePalette();
  // Letters of a part that nobody had asked for: it comes after the first word with one.
  const [faces, setFaces] = useState(0);
  const tools = useTools(palette, faces);
  const model = useBoard(controller, "model");
  const options = useBoard(controller, "options");
  const lift = useBoard(controller, "lift");
  const strip = useMemo(() => (options.strip ? stripProfile(model, options.strip) : null), [model, options.strip]);
  const say = useMemo(() => paintWords(model.shop.time), [model.shop.time]);
  // The resting picture changes only with the answers and the row under the hand, not at every step.
  const refused = lift !== null && lift.verdict.conflicts.length > 0;
  const held = lift ? `${lift.key}|${lift.lane}|${refused}|${[...lift.fits].join()}` : "";
  // biome-ignore lint/correctness/useExhaustiveDependencies: `held` stands for all of the lift that the resting picture shows
  const lifted = useMemo(() => (lift ? liftView(model, lift) : null), [model, held]);
  // Usually there by now: the head of the page has fetched them and the start of the program has loaded them.
  const [fonts, setFonts] = useState(() => FACE_FONTS.every((font) => document.fonts.check(font)));

  useEffect(() => {
    let gone = false;
    void Promise.allSettled(FACE_FONTS.map((font) => document.fonts.load(font))).then(() => {
      if (!gone) setFonts(true);
    });
    const more = (): void => setFaces((before) => before + 1);
    document.fonts.addEventListener("loadingdone", more);
    return () => {
      gone = true;
      document.fonts.removeEventListener("loadingdone", more);
    };
  }, []);

  // The size of the drawing follows its frame. Measured and asked for in the very frame that shows the page: one picture, not two.
  useLayoutEffect(() => {
    const element = frame.current;
    if (!element) return;
    const measure = (): void => {
      const { width, height } = element.getBoundingClientRect();
      const textScale = Math.max(0.5, Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / ROOT_PIXELS);
      const drawn = width / textScale;
      if (width > 0 && height > 0)
        controller.resize(drawn, height / textScale, drawn < NARROW ? NAMES_NARROW : BOARD.names, textScale);
    };
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    measure();
    return () => observer.disconnect();
  }, [controller]);

  // Painting: at most once a frame.
  useLayoutEffect(() => {
    if (!fonts) return;
    let asked = 0;
    let all = true;
    // What an earlier turn of this effect has left there, too.
    let inHand = hand.current !== null && hand.current.width !== UNPAINTED;
    const sheet = createSheet();
    const view = (): BoardView => {
      const now = controller.snapshot();
      return {
        camera: controller.camera(),
        size: now.size,
        density: now.options.density,
        chosenOrder: now.chosenOrder,
        focusKey: now.hasFocus ? now.focusKey : now.chosenKey,
        showPublished: now.options.published,
        showLinks: now.options.links,
        strip,
        lift: lifted,
        ghosts: now.ghosts,
        chain: now.chain,
        words: say,
        now: controller.now(),
      };
    };
    const fit = (canvas: HTMLCanvasElement, density: number): CanvasRenderingContext2D | null => {
      const { size } = controller.snapshot();
      const width = Math.round(size.width * density);
      const height = Math.round(size.height * density);
      if (canvas.width !== width || canvas.height !== height) {
        canvas.width = width;
        canvas.height = height;
      }
      return canvas.getContext("2d", { alpha: canvas === hand.current });
    };
    const paint = (): void => {
      asked = 0;
      const snapshot = controller.snapshot();
      const sharp = Math.min(DENSITY_MAX, (window.devicePixelRatio || 1) * snapshot.textScale);
      const shown = view();
      if (all && still.current) {
        const moving = controller.moving();
        const density = moving ? Math.min(snapshot.textScale, sharp) : sharp;
        const ctx = fit(still.current, density);
        const laid = sheet.serves(shown) && moving;
        if (ctx) {
          const surface = tools(ctx, density);
          const labels = keepWords.current ? surface.labels : surface.labels.unkept;
          paintBoard({ ...surface, labels }, snapshot.model, shown, laid ? sheet : null);
        }
      }
      const { lift: now } = snapshot;
      // Nothing in the hand: the layer over the picture is left alone, once it is empty.
      if (hand.current && (now !== null || inHand)) {
        const ctx = fit(hand.current, sharp);
        inHand = now !== null;
        if (ctx) {
          paintMoving(
            tools(ctx, sharp),
            snapshot.model,
            shown,
            now ? { bars: now.bars, old: isAtHome(now) ? [] : now.old, refused: now.verdict.conflicts.length > 0 } : null,
          );
        }
      }
      all = false;
    };
    const ask = (what: "all" | "moving"): void => {
      if (what === "all") all = true;
      if (asked === 0) asked = requestAnimationFrame(paint);
    };
    controller.onRepaint(ask);
    ask("all");
    const ticking = setInterval(() => ask("all"), MINUTE_MS);
    const keeping = setTimeout(() => {
      if (keepWords.current) return;
      keepWords.current = true;
      ask("all");
    }, KEEP_WORDS_MS);
    return () => {
      clearInterval(ticking);
      clearTimeout(keeping);
      cancelAnimationFrame(asked);
      sheet.clear();
      controller.onRepaint(() => {});
    };
  }, [controller, fonts, tools, strip, say, lifted]);

  usePointers(frame, controller, takeFocus, onMachine);
  return (
    <div className="board-drawing" ref={frame}>
      <div aria-hidden="true">
        <canvas ref={still} />
        <canvas ref={hand} />
      </div>
      <SlipAtPointer controller={controller} />
      <HoverNote controller={controller} />
    </div>
  );
}
