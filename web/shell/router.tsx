/** The addresses of the screens. Each screen is loaded when it is first opened, so the first page stays small. */
import { useQueryErrorResetBoundary } from "@tanstack/react-query";
import {
  createRootRoute,
  createRoute,
  createRouter,
  type ErrorComponentProps,
  Link,
  lazyRouteComponent,
  useRouter,
} from "@tanstack/react-router";
import { isProblem } from "../client/api-problem.ts";
import { Page } from "../parts/page.tsx";
import { errorText, Failure, Loading } from "../parts/states.tsx";
import { words } from "../words/words.ts";
import { AppShell } from "./app-shell.tsx";

function ScreenFailed({ error, reset }: ErrorComponentProps) {
  const router = useRouter();
  const queries = useQueryErrorResetBoundary();
  const again = (): void => {
    queries.reset();
    reset();
    void router.invalidate();
  };
  if (isProblem(error, 404)) return <NotFound text={error.message} />;
  return (
    <Page title={errorText(error).title}>
      <Failure error={error} retry={again} />
    </Page>
  );
}

function NotFound({ text = words.states.notFound }: { readonly text?: string }) {
  return (
    <Page title={words.states.notFoundTitle} about={text}>
      <Link to="/" className="button">
        {words.start.planDone}
      </Link>
    </Page>
  );
}

const root = createRootRoute({ component: AppShell, errorComponent: ScreenFailed, notFoundComponent: () => <NotFound /> });

const at = <P extends string>(path: P) => createRoute({ getParentRoute: () => root, path });

type BoardSearch = {
  readonly from?: number;
  readonly until?: number;
  readonly machine?: string;
  readonly order?: string;
  /** The chain of reasons of the order is drawn. */
  readonly chain?: 1;
};

/** A place on the board, in minutes of the plan; anything else in the address is left aside. */
const boardPlace = ({ from, until, machine, order, chain }: Record<string, unknown>): BoardSearch => ({
  ...(typeof from === "number" && Number.isSafeInteger(from) ? { from } : {}),
  ...(typeof until === "number" && Number.isSafeInteger(until) ? { until } : {}),
  ...(typeof machine === "string" || typeof machine === "number" ? { machine: String(machine) } : {}),
  ...(typeof order === "string" || typeof order === "number" ? { order: String(order) } : {}),
  ...(chain === 1 ? { chain } : {}),
});

const routes = [
  createRoute({
    getParentRoute: () => root,
    path: "/",
    component: lazyRouteComponent(() => import("../screens/plan-board/plan-board-screen.tsx"), "PlanBoardScreen"),
    validateSearch: boardPlace,
  }),
  at("/orders").update({ component: lazyRouteComponent(() => import("../screens/orders/order-list.tsx"), "OrderList") }),
  at("/orders/$id").update({ component: lazyRouteComponent(() => import("../screens/orders/order-page.tsx"), "OrderPage") }),
  at("/add/order").update({ component: lazyRouteComponent(() => import("../screens/orders/new-order.tsx"), "NewOrder") }),
  at("/add/orders").update({ component: lazyRouteComponent(() => import("../screens/orders/paste-page.tsx"), "PastePage") }),
  createRoute({
    getParentRoute: () => root,
    path: "/fit",
    component: lazyRouteComponent(() => import("../screens/fit/fit-page.tsx"), "FitPage"),
    // An order of the book; left out: a new one. Ids of digits alone arrive as numbers.
    validateSearch: ({ order }: Record<string, unknown>): { readonly order?: string } =>
      typeof order === "string" || typeof order === "number" ? { order: String(order) } : {},
  }),
  at("/published").update({
    component: lazyRouteComponent(() => import("../screens/publishing/published-page.tsx"), "PublishedPage"),
  }),
  at("/published/$version").update({
    component: lazyRouteComponent(() => import("../screens/publishing/version-page.tsx"), "VersionPage"),
  }),
  at("/published/$version/against/$other").update({
    component: lazyRouteComponent(() => import("../screens/publishing/compare-page.tsx"), "ComparePage"),
  }),
  at("/proposals/$id").update({
    component: lazyRouteComponent(() => import("../screens/publishing/proposal-page.tsx"), "ProposalPage"),
  }),
  at("/supplies").update({
    component: lazyRouteComponent(() => import("../screens/supplies/supplies-page.tsx"), "SuppliesPage"),
  }),
  at("/nights").update({ component: lazyRouteComponent(() => import("../screens/nights/nights-page.tsx"), "NightsPage") }),
  at("/due").update({ component: lazyRouteComponent(() => import("../screens/upkeep/due-page.tsx"), "DuePage") }),
  at("/calendar-feeds").update({
    component: lazyRouteComponent(() => import("../screens/feeds/feeds-page.tsx"), "FeedsPage"),
  }),
  at("/rigs").update({ component: lazyRouteComponent(() => import("../screens/rigs/rigs-page.tsx"), "RigsPage") }),
  at("/campaign").update({
    component: lazyRouteComponent(() => import("../screens/rigs/campaign-page.tsx"), "CampaignPage"),
  }),
  at("/rigs/requests/$number").update({
    component: lazyRouteComponent(() => import("../screens/rigs/request-page.tsx"), "RequestPage"),
  }),
  at("/load").update({ component: lazyRouteComponent(() => import("../screens/load/load-screen.tsx"), "LoadScreen") }),
  at("/scenarios").update({
    component: lazyRouteComponent(() => import("../screens/scenarios/scenarios-page.tsx"), "ScenariosPage"),
  }),
  at("/contract").update({
    component: lazyRouteComponent(() => import("../screens/scenarios/contract-page.tsx"), "ContractPage"),
  }),
  at("/scenarios/$id").update({
    component: lazyRouteComponent(() => import("../screens/scenarios/scenario-page.tsx"), "ScenarioPage"),
  }),
  at("/setup/rates").update({ component: lazyRouteComponent(() => import("../screens/setup/rates-page.tsx"), "RatesPage") }),
  at("/stations").update({ component: lazyRouteComponent(() => import("../screens/stations/station-list.tsx"), "StationList") }),
  at("/stations/$id").update({
    component: lazyRouteComponent(() => import("../screens/stations/station-page.tsx"), "StationPage"),
  }),
  at("/setup").update({ component: lazyRouteComponent(() => import("../screens/setup/setup-overview.tsx"), "SetupOverview") }),
  at("/setup/site").update({ component: lazyRouteComponent(() => import("../screens/setup/site-page.tsx"), "SitePage") }),
  at("/setup/accounts").update({
    component: lazyRouteComponent(() => import("../screens/setup/accounts-page.tsx"), "AccountsPage"),
  }),
  at("/setup/risk").update({ component: lazyRouteComponent(() => import("../screens/setup/risk-page.tsx"), "RiskPage") }),
  at("/setup/publishing").update({
    component: lazyRouteComponent(() => import("../screens/setup/publishing-settings-page.tsx"), "PublishingSettingsPage"),
  }),
  at("/how-sure").update({
    component: lazyRouteComponent(() => import("../screens/how-sure/how-sure-page.tsx"), "HowSurePage"),
  }),
  at("/setup/file").update({
    component: lazyRouteComponent(() => import("../screens/exchange/exchange-page.tsx"), "ExchangePage"),
  }),
  at("/setup/$kind").update({ component: lazyRouteComponent(() => import("../screens/setup/plant-list.tsx"), "PlantList") }),
  at("/setup/$kind/$id").update({ component: lazyRouteComponent(() => import("../screens/setup/plant-page.tsx"), "PlantPage") }),
  at("/add/$kind").update({ component: lazyRouteComponent(() => import("../screens/setup/new-plant.tsx"), "NewPlant") }),
  at("/account").update({
    component: lazyRouteComponent(() => import("../screens/account/account-page.tsx"), "AccountPage"),
  }),
  at("/start").update({ component: lazyRouteComponent(() => import("../screens/first-run/start-page.tsx"), "StartPage") }),
  at("/sign-in").update({ component: lazyRouteComponent(() => import("../screens/sign-in/sign-in-page.tsx"), "SignInPage") }),
  at("/first-administrator").update({
    component: lazyRouteComponent(() => import("../screens/sign-in/first-administrator-page.tsx"), "FirstAdministratorPage"),
  }),
] as const;

const IDLE_MS = 2000;
const idle = (): Promise<unknown> =>
  new Promise((go) => {
    if ("requestIdleCallback" in window) requestIdleCallback(go, { timeout: IDLE_MS });
    else setTimeout(go, IDLE_MS);
  });

/**
 * Fetches all screens, so that the next one opens at once and they stay usable while the network is away. One after the other, each when
 * there is nothing else to do: the code of all of them at once would hold up whoever has begun to work.
 */
export async function fetchScreens(): Promise<void> {
  for (const { options } of routes) {
    const component: { preload?: () => Promise<void> | undefined } | undefined = options.component;
    await idle();
    // What cannot be fetched now is fetched when it is opened.
    await component?.preload?.()?.catch(() => undefined);
  }
}

export const router = createRouter({
  routeTree: root.addChildren(routes),
  defaultPendingComponent: Loading,
  defaultErrorComponent: ScreenFailed,
  defaultPreload: "intent",
  scrollRestoration: true,
});

declare module "@tanstack/react-router" {
  interface Register {
    router: typeof router;
  }
}
