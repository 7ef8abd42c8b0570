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
        for (const { fileName, facadeModuleId } of chunks.values())
          if (facadeModuleId?.endsWith("plan-board-screen.tsx")) add(fileName);
        for (const { fileName } of Object.values(bundle)) if (DRAWN_FONTS.test(fileName)) found.add(fileName);
        const places = [...found].filter((name) => !html.includes(name)).map((name) => `/${name}`);
        return html.replace('src="/ahead.js"', `src="/ahead.js" data-board="${places.join(" ")}"`);
      },
    },
  };
}

export default defineConfig(({ mode }) => ({
  plugins: [react(), tokensStyleSheet(), boardAhead(), precachePlugin()],
  build: { outDir: "../dist/web", emptyOutDir: true, target: "es2022", sourcemap: false },
  // While developing: the server runs beside, at API_ORIGIN when that is not the usual port.
  server: { proxy: { "/api": loadEnv(mode, ".", "API_").API_ORIGIN ?? "http://127.0.0.1:4400" } },
}));
