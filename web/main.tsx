/** Starts the screens: fonts, style sheets, data client, router. */
import "virtual:tokens.css";
import "./styles/faces.css";
import "./styles/base.css";
import "./styles/controls.css";
import "./styles/drawing.css";
import "./styles/reports.css";
import "./styles/scenarios.css";
import "./styles/touch.css";
import "./styles/forced-colours.css";
import "./styles/print.css";
import { QueryClientProvider } from "@tanstack/react-query";
import { RouterProvider } from "@tanstack/react-router";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { present } from "../src/core/ground/invariant.ts";
import { planIsAhead } from "./client/ahead.ts";
import { queryClient } from "./client/query-client.ts";
import { ordersQuery, planQuery, sessionQuery, siteQuery } from "./client/shop.ts";
import { keepProgram } from "./offline/program.ts";
import { LANGUAGE } from "./present/locale.ts";
import { fetchScreens, router } from "./shell/router.tsx";
import { FONT_FAMILY } from "./tokens/tokens.ts";

const BOARD_PATH = "/";

/** Of the faces that the board draws with. */
const DRAWN_WEIGHTS = [400, 500, 600];

document.documentElement.lang = LANGUAGE;
// Nothing on the page need ask for a face before the drawing does, which would then wait for it.
for (const weight of DRAWN_WEIGHTS) void document.fonts.load(`${weight} 1em ${FONT_FAMILY}`).catch(() => undefined);
const root = createRoot(present(document.getElementById("root"), "root element"));
const show = (): void =>
  root.render(
    <StrictMode>
      <QueryClientProvider client={queryClient}>
        <RouterProvider router={router} />
      </QueryClientProvider>
    </StrictMode>,
  );

/** So long the first layout of the page waits for what it is about. */
const PATIENCE_MS = 100;
// What the head of the page has asked for is usually there by now: then the page with the board on it is laid out once instead of
// frame, waiting, session and board one after the other. Trouble shows itself where it is asked for again.
const plan = planIsAhead().then((ahead) => (ahead ? queryClient.prefetchQuery(planQuery) : undefined));
if (location.pathname === BOARD_PATH)
  void Promise.race([
    Promise.allSettled([router.load(), queryClient.prefetchQuery(sessionQuery), plan]),
    new Promise((go) => setTimeout(go, PATIENCE_MS)),
  ]).then(show);
else show();

/** The other screens come after the first one has what it needs, however long that takes, and then when there is nothing to do. */
const QUIET_MS = 2000;
const comeLast = (): void => {
  void fetchScreens();
  keepProgram();
  // Read once, so that lists and stations open without network too.
  const session = queryClient.getQueryData(sessionQuery.queryKey);
  if (!session?.user && !session?.demoMode) return;
  void queryClient.prefetchQuery(siteQuery);
  void queryClient.prefetchQuery(ordersQuery);
};
const whenQuiet = (): void => {
  if (router.state.status === "pending" || queryClient.isFetching() > 0) setTimeout(whenQuiet, QUIET_MS);
  else if ("requestIdleCallback" in window) requestIdleCallback(comeLast, { timeout: 4 * QUIET_MS });
  else comeLast();
};
window.addEventListener("load", () => setTimeout(whenQuiet, QUIET_MS));
