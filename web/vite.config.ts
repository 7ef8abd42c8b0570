/** Builds the screens into dist/web, where the server finds them. Tokens become a style sheet here, so the first paint has them. */
import react from "@vitejs/plugin-react";
import { defineConfig, loadEnv, type Plugin } from "vite";
import { precachePlugin } from "./offline/precache-plugin.ts";
import { customPropertiesCss } from "./tokens/custom-properties.ts";

const TOKENS = "virtual:tokens.css";

function tokensStyleSheet(): Plugin {
  return {
    name: "tokens-style-sheet",
    resolveId: (id) => (id === TOKENS ? `\0${TOKENS}` : null),
    load: (id) => (id === `\0${TOKENS}` ? customPropertiesCss() : null),
  };
}

const BOARD_SCREEN = "plan-board-screen.tsx";
/** Of the board and the few pages that show a plan as it does. */
const DRAWING = /\/web\/(board|screens\/plan-board)\//;

/** Imported somewhere on the way from the first page, but nothing of it is used there: it stays out of the first file. */
const LATER = /\/src\/core\/check\/|\/(useBlocker|useQueries|queriesObserver)\.js$|core\/calendar\/step-function/;

/** The faces that the drawing waits for. */
const DRAWN_FONTS = /latin-[456]00-normal-[^/]*\.woff2$/;

/** The head of the page names the code, style sheets and fonts of the board, so that they can be fetched along with everything else. */
function boardAhead(): Plugin {
  return {
    name: "board-ahead",
    transformIndexHtml: {
      order: "post",
      handler: (html, { bundle }) => {
        if (!bundle) return html;
        const chunks = new Map(Object.values(bundle).flatMap((each) => (each.type === "chunk" ? [[each.fileName, each]] : [])));
        const found = new Set<string>();
        const add = (name: string): void => {
          const chunk = chunks.get(name);
          if (!chunk || found.has(name)) return;
          found.add(name);
          for (const sheet of chunk.viteMetadata?.importedCss ?? []) found.add(sheet);
          for (const each of chunk.imports) add(each);
        };
        for (const { fileName, facadeModuleId } of chunks.values()) if (facadeModuleId?.endsWith(BOARD_SCREEN)) add(fileName);
        for (const { fileName } of Object.values(bundle)) if (DRAWN_FONTS.test(fileName)) found.add(fileName);
        const places = [...found].filter((name) => !html.includes(name)).map((name) => `/${name}`);
        return html.replace('src="/ahead.js"', `src="/ahead.js" data-board="${places.join(" ")}"`);
      },
    },
  };
}

/**
 * Every file is a request of its own, and the board would be two dozen: what every page begins with comes in one file, and what the board
 * has in common with other pages - apart from the drawing - in a second one.
 */
function fewFiles(): {
  readonly plugin: Plugin;
  readonly groups: { name: string; priority: number; test(id: string): boolean }[];
} {
  let first: ReadonlySet<string> = new Set();
  let shared: ReadonlySet<string> = new Set();
  return {
    plugin: {
      name: "few-files",
      apply: "build",
      buildEnd() {
        const reached = (from: string, known: ReadonlySet<string> = new Set()): Set<string> => {
          const found = new Set<string>();
          const add = (id: string): void => {
            if (found.has(id) || known.has(id)) return;
            found.add(id);
            for (const each of this.getModuleInfo(id)?.importedIds ?? []) add(each);
          };
          add(from);
          return found;
        };
        const all = [...this.getModuleIds()];
        first = new Set(all.filter((id) => this.getModuleInfo(id)?.isEntry).flatMap((id) => [...reached(id)]));
        const pages = [...first].flatMap((id) => [...(this.getModuleInfo(id)?.dynamicallyImportedIds ?? [])]);
        const board = pages.find((id) => id.endsWith(BOARD_SCREEN));
        if (board === undefined) this.error(`no page ends with ${BOARD_SCREEN}`);
        const others = new Set(pages.filter((id) => id !== board).flatMap((id) => [...reached(id, first)]));
        shared = new Set([...reached(board, first)].filter((id) => others.has(id) && !DRAWING.test(id)));
      },
    },
    groups: [
      { name: "first", priority: 2, test: (id) => first.has(id) && !LATER.test(id) },
      { name: "terms", priority: 1, test: (id) => shared.has(id) },
    ],
  };
}

const few = fewFiles();

export default defineConfig(({ mode }) => ({
  plugins: [react(), tokensStyleSheet(), boardAhead(), precachePlugin(), few.plugin],
  build: {
    outDir: "../dist/web",
    emptyOutDir: true,
    target: "es2022",
    sourcemap: false,
    // The first file is meant to be large: 220 kB once it is packed for the way.
    chunkSizeWarningLimit: 700,
    rolldownOptions: { output: { codeSplitting: { groups: few.groups } } },
  },
  // While developing: the server runs beside, at API_ORIGIN when that is not the usual port.
  server: { proxy: { "/api": loadEnv(mode, ".", "API_").API_ORIGIN ?? "http://127.0.0.1:4400" } },
}));
