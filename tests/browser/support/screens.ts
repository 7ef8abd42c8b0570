/** Every screen of the demo shop by name and address: what the pictures show and what the screen tests open. */
export type ScreenName = string;
export type ScreenAddress = Readonly<{
  name: ScreenName;
  path: string /** Heading that says the screen is there; null: the board, which has none. */;
  heading: RegExp | null;
}>;

/** `lateOrder` and the rest are ids of the demo shop as it is loaded. */
export const SCREENS: readonly ScreenAddress[] = [
  { name: "board", path: "/", heading: null },
  { name: "orders", path: "/orders", heading: /^Orders$/ },
  { name: "order", path: "/orders/2104", heading: /2104/ },
  { name: "order-rush", path: "/orders/2290", heading: /2290/ },
  { name: "new-order", path: "/add/order", heading: /^New order$/ },
  { name: "fit", path: "/fit", heading: /^Fit it in$/ },
  { name: "fit-order", path: "/fit?order=2290", heading: /^Fit it in$/ },
  { name: "spreadsheet", path: "/add/orders", heading: /^Orders from a spreadsheet$/ },
  { name: "rigs", path: "/rigs", heading: /^Rigs$/ },
  { name: "campaign", path: "/campaign", heading: /^Plan a campaign$/ },
  { name: "scenarios", path: "/scenarios", heading: /^Scenarios$/ },
  { name: "contract", path: "/contract", heading: /^Can we take this on\?$/ },
  { name: "rates", path: "/setup/rates", heading: /^Rates$/ },
  { name: "load", path: "/load", heading: /^Load$/ },
  { name: "supplies-in-time", path: "/supplies", heading: /^Supplies$/ },
  { name: "nights", path: "/nights", heading: /^Nights$/ },
  { name: "due", path: "/due", heading: /^Due list$/ },
  { name: "calendar-feeds", path: "/calendar-feeds", heading: /^Calendar feeds$/ },
  { name: "upkeep-rules", path: "/setup/upkeep-rules", heading: /^Upkeep rules$/ },
  { name: "stations", path: "/stations", heading: /^Stations$/ },
  { name: "station", path: "/stations/mill-1", heading: /Mill 1/ },
  { name: "published", path: "/published", heading: /^Published plans$/ },
  { name: "version", path: "/published/1", heading: /^Version 1$/ },
  { name: "versions-compared", path: "/published/1/against/draft", heading: /^Version 1 → The draft of now$/ },
  { name: "how-sure", path: "/how-sure", heading: /^How sure is this plan$/ },
  { name: "board-chain", path: "/?order=2104&chain=1", heading: null },
  { name: "publishing-settings", path: "/setup/publishing", heading: /^Publishing and cautions$/ },
  { name: "risk-settings", path: "/setup/risk", heading: /^What may go otherwise$/ },
  { name: "setup", path: "/setup", heading: /^Set-up$/ },
  { name: "machines", path: "/setup/machines", heading: /^Machines and rigs$/ },
  { name: "machine", path: "/setup/machines/dyno-1", heading: /Dyno 1/ },
  { name: "crews", path: "/setup/crews", heading: /^Crews$/ },
  { name: "crew", path: "/setup/crews/setters", heading: /Setters/ },
  { name: "calendar", path: "/setup/calendars/late-shift", heading: /Late shift/ },
  { name: "calendars", path: "/setup/calendars", heading: /^Hours and shifts$/ },
  { name: "setup-table", path: "/setup/setup-tables/fixtures", heading: /./ },
  { name: "supplies", path: "/setup/supplies", heading: /^Supplies$/ },
  { name: "kits", path: "/setup/kits", heading: /^Kits$/ },
  { name: "routes", path: "/setup/routes", heading: /^Route templates$/ },
  { name: "run-hours", path: "/setup/run-hour-rules", heading: /^Run-hour maintenance$/ },
  { name: "site", path: "/setup/site", heading: /^Site and weights$/ },
  { name: "file", path: "/setup/file", heading: /^Whole shop as a file$/ },
  { name: "first-steps", path: "/start", heading: /^Set up your shop$/ },
];
