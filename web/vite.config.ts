/** Builds the screens into dist/web, where the server finds them. Tokens become a style sheet here, so the first paint has them. */
import react from "@vitejs/plugin-react";
import { defineConfig, loadEnv, type Plugin } from "vite";
import { customPropertiesCss } from "./tokens/custom-properties.ts";

const TOKENS = "virtual:tokens.css";

function tokensStyleSheet(): Plugin {
  return {
    name: "tokens-style-sheet",
    resolveId: (id) => (id === TOKENS ? `\0${TOKENS}` : null),
    load: (id) => (id === `\0${TOKENS}` ? customPropertiesCss() : null),
  };
}

export default defineConfig(({ mode }) => ({
  plugins: [react(), tokensStyleSheet()],
  build: { outDir: "../dist/web", emptyOutDir: true, target: "es2022", sourcemap: false },
  // While developing: the server runs beside, at API_ORIGIN when that is not the usual port.
  server: { proxy: { "/api": loadEnv(mode, ".", "API_").API_ORIGIN ?? "http://127.0.0.1:4400" } },
}));
