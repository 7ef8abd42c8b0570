/**
 * The map of the application: areas in the head of every page, and the pages of an area in the line below it. A page that is
 * reached from another one (an order, a form) belongs to the area whose `also` its address begins with.
 */
import { words } from "../words/words.ts";

const { nav } = words.shell;

export type AreaPage = { readonly to: string; readonly label: string };
export type Area = {
  readonly label: string;
  /** The first is where the area's own link leads. */
  readonly pages: readonly [AreaPage, ...AreaPage[]];
  /** Beginnings of further addresses that belong here. */
  readonly also?: readonly string[];
};

export const AREAS: readonly Area[] = [
  { label: nav.board, pages: [{ to: "/", label: nav.board }] },
  {
    label: nav.orders,
    pages: [
      { to: "/orders", label: nav.orders },
      { to: "/fit", label: words.fit.title },
    ],
    also: ["/add/order"],
  },
  {
    label: words.rigs.title,
    pages: [
      { to: "/rigs", label: words.rigs.finder },
      { to: "/campaign", label: words.rigs.campaign },
    ],
  },
  {
    label: nav.scenarios,
    pages: [
      { to: "/scenarios", label: nav.scenarios },
      { to: "/contract", label: words.scenarios.contract.link },
    ],
  },
  {
    label: nav.load,
    pages: [
      { to: "/load", label: nav.load },
      { to: "/supplies", label: words.supplies.title },
      { to: "/nights", label: words.nights.title },
      { to: "/due", label: words.upkeep.title },
    ],
  },
  {
    label: nav.stations,
    pages: [
      { to: "/stations", label: nav.stations },
      { to: "/calendar-feeds", label: words.feeds.title },
    ],
  },
  {
    label: words.publishing.nav,
    pages: [
      { to: "/published", label: words.publishing.title },
      { to: "/how-sure", label: words.howSure.title },
    ],
    also: ["/proposals"],
  },
  { label: nav.setup, pages: [{ to: "/setup", label: nav.setup }], also: ["/add/"] },
];

const under = (path: string, place: string): boolean =>
  place === "/"
    ? path === "/"
    : path === place || path.startsWith(place.endsWith("/") ? place : `${place}/`) || path === `${place}s`;

/** The area of an address and the page of it that is open: the longest that fits. */
export function whereIs(path: string): { readonly area: Area | null; readonly page: AreaPage | null } {
  let best: { area: Area; page: AreaPage | null; length: number } | null = null;
  for (const area of AREAS) {
    for (const page of area.pages)
      if (under(path, page.to) && page.to.length > (best?.length ?? 0)) best = { area, page, length: page.to.length };
    for (const place of area.also ?? [])
      if (under(path, place) && place.length > (best?.length ?? 0)) best = { area, page: null, length: place.length };
  }
  return { area: best?.area ?? null, page: best?.page ?? null };
}
