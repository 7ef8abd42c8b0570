/** Starts the screens: fonts, style sheets, data client, router. */
import "@fontsource/ibm-plex-sans-condensed/latin-400.css";
import "@fontsource/ibm-plex-sans-condensed/latin-ext-400.css";
import "@fontsource/ibm-plex-sans-condensed/latin-500.css";
import "@fontsource/ibm-plex-sans-condensed/latin-ext-500.css";
import "@fontsource/ibm-plex-sans-condensed/latin-600.css";
import "@fontsource/ibm-plex-sans-condensed/latin-ext-600.css";
import "virtual:tokens.css";
import "./styles/base.css";
import "./styles/controls.css";
import "./styles/drawing.css";
import "./styles/reports.css";
import "./styles/scenarios.css";
import "./styles/print.css";
import { QueryClientProvider } from "@tanstack/react-query";
import { RouterProvider } from "@tanstack/react-router";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { present } from "../src/core/ground/invariant.ts";
import { queryClient } from "./client/query-client.ts";
import { LANGUAGE } from "./present/locale.ts";
import { fetchScreens, router } from "./shell/router.tsx";

document.documentElement.lang = LANGUAGE;
createRoot(present(document.getElementById("root"), "root element")).render(
  <StrictMode>
    <QueryClientProvider client={queryClient}>
      <RouterProvider router={router} />
    </QueryClientProvider>
  </StrictMode>,
);

/** After the first screen has what it needs. */
const FETCH_SCREENS_MS = 2000;
window.addEventListener("load", () => setTimeout(fetchScreens, FETCH_SCREENS_MS));
