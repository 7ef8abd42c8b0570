/**
 * The demo shop's order book, dated relative to the day it is opened. Invented orders of an invented firm.
 * It is made to show every feature at once and to be honestly too full in places: see the tour in the README.
 */
import type { z } from "zod";
import type { orderSchema } from "../../src/contract/file/order-schema.ts";
import type { DayOffset } from "./plant.ts";
import {
  enduranceRoute,
  housingRoute,
  type LinkInput,
  maintenanceRoute,
  mapCampaignRoute,
  motorRoute,
  prototypeRoute,
  type Route,
  shaftRoute,
  statorRoute,
  thermalRoute,
} from "./routes.ts";

type OrderInput = z.input<typeof orderSchema>;
type Entry = Omit<OrderInput, "operations"> & { readonly route: Route };

export type OrderBook = { readonly orders: OrderInput[]; readonly links: LinkInput[] };

/** The rush prototype nobody has planned yet. */
export const RUSH_ORDER = "2290";

const collect = (entries: readonly Entry[]): OrderBook => ({
  orders: entries.map(({ route, ...order }) => ({ ...order, operations: route.operations })),
  links: entries.flatMap((entry) => entry.route.links),
});

/** What was in the book when the published plan was made. */
export function demoOrderBook(day: DayOffset): OrderBook {
  const entries: Entry[] = [];
  const add = (id: string, name: string, route: Route, more: Omit<Entry, "id" | "name" | "route">): void => {
    entries.push({ id, name, route, ...more });
  };
  const production = (
    id: string,
    name: string,
    quantity: number,
    releaseDay: number,
    dueDay: number,
    weight: number,
    route: Route,
  ): void =>
    add(id, name, route, { kind: "production", quantity, scrapPerMille: 40, release: day(releaseDay), due: day(dueDay), weight });

  // Housings, some of them coated outside for five working days.
  production("2101", "Kestrel 40 housing", 24, -7, 1, 2, housingRoute("2101", 34, false, "fixture-kestrel-40"));
  production("2102", "Kestrel 25 housing", 20, -7, 10, 1, housingRoute("2102", 30, true, "fixture-kestrel-25"));
  production("2103", "Wren 12 housing", 40, -6, 4, 2, housingRoute("2103", 17, false, "fixture-wren-12"));
  production("2104", "Kestrel 40 housing", 30, -5, 1, 2, housingRoute("2104", 34, true, "fixture-kestrel-40"));
  production("2105", "Merlin 60 housing", 16, -3, 9, 4, housingRoute("2105", 61, false, "fixture-merlin-60"));
  production("2106", "Wren 12 housing", 48, 0, 13, 1, housingRoute("2106", 17, false, "fixture-wren-12"));
  production("2107", "Kestrel 25 housing", 24, 2, 20, 2, housingRoute("2107", 30, true, "fixture-kestrel-25"));
  production("2108", "Merlin 60 housing", 18, 5, 17, 3, housingRoute("2108", 61, false, "fixture-merlin-60"));
  production("2109", "Kestrel 40 housing", 28, 8, 22, 2, housingRoute("2109", 34, false, "fixture-kestrel-40"));
  production("2110", "Wren 12 housing", 44, 11, 26, 1, housingRoute("2110", 17, false, "fixture-wren-12"));

  // Shafts: turning and milling overlap in transfer lots.
  production("2121", "Kestrel shaft", 30, -7, 0, 2, shaftRoute("2121", 18, 11));
  production("2122", "Wren shaft", 40, -6, 3, 2, shaftRoute("2122", 12, 8));
  production("2123", "Merlin shaft", 18, -2, 3, 3, shaftRoute("2123", 28, 19));
  production("2124", "Kestrel shaft", 36, 1, 11, 2, shaftRoute("2124", 18, 11));
  production("2125", "Wren shaft", 48, 4, 15, 1, shaftRoute("2125", 12, 8));
  production("2126", "Merlin shaft", 20, 9, 21, 3, shaftRoute("2126", 28, 19));

  // Stators: long wire-cut runs alone, one of them over the weekend.
  production("2141", "Kestrel stator, sample lot", 2, -7, 2, 3, statorRoute("2141", 1_560, "0.25 wire", 380));
  production("2142", "Merlin stator, sample lot", 1, -4, 6, 3, statorRoute("2142", 2_280, "0.25 wire", 460));
  production("2143", "Wren stator, sample lot", 3, -2, 6, 2, statorRoute("2143", 1_320, "0.20 wire", 300));
  production("2144", "Kestrel stator, second lot", 2, 2, 14, 2, statorRoute("2144", 1_900, "0.25 wire", 380));
  production("2145", "Merlin stator, second lot", 1, 8, 20, 2, statorRoute("2145", 2_600, "0.25 wire", 460));

  // Motors put together and tested.
  production("2161", "Kestrel 40 motor", 14, -7, 1, 3, motorRoute("2161", 57, "large flange", "jig-kestrel-40"));
  production("2162", "Wren 12 motor", 24, -6, 3, 2, motorRoute("2162", 35, "small flange", "jig-wren-12"));
  production("2163", "Merlin 60 motor", 10, -3, 2, 4, motorRoute("2163", 84, "large flange", "jig-merlin-60"));
  production("2164", "Kestrel 25 motor", 18, -1, 7, 2, motorRoute("2164", 48, "small flange", "jig-kestrel-25"));
  production("2165", "Kestrel 40 motor", 16, 1, 9, 3, motorRoute("2165", 57, "large flange", "jig-kestrel-40"));
  production("2166", "Wren 12 motor", 30, 3, 12, 1, motorRoute("2166", 35, "small flange", "jig-wren-12"));
  production("2167", "Merlin 60 motor", 12, 6, 15, 3, motorRoute("2167", 84, "large flange", "jig-merlin-60"));
  production("2168", "Kestrel 25 motor", 20, 9, 19, 2, motorRoute("2168", 48, "small flange", "jig-kestrel-25"));
  production("2169", "Kestrel 40 motor", 18, 13, 24, 2, motorRoute("2169", 57, "large flange", "jig-kestrel-40"));

  // Prototypes.
  const prototype = (id: string, name: string, releaseDay: number, dueDay: number, weight: number, route: Route): void =>
    add(id, name, route, {
      kind: "prototype",
      quantity: 1,
      release: day(releaseDay),
      due: day(dueDay),
      weight,
      requester: "R. Osei",
    });
  prototype("2201", "Falcon 8 prototype A", -6, 6, 5, prototypeRoute("2201", 900, 240));
  prototype("2202", "Kestrel 40 high-speed rotor trial", 1, 13, 4, prototypeRoute("2202", 1_150, 300));
  prototype("2203", "Falcon 8 prototype B", 7, 20, 4, prototypeRoute("2203", 960, 240));

  // Three test campaigns; the first two together want more DC than there is.
  const campaign = (
    id: string,
    name: string,
    releaseDay: number,
    dueDay: number,
    weight: number,
    requester: string,
    route: Route,
  ): void =>
    add(id, name, route, { kind: "campaign", quantity: 1, release: day(releaseDay), due: day(dueDay), weight, requester });
  campaign("2301", "Kestrel 40 efficiency map", 1, 12, 4, "M. Adeyemi", mapCampaignRoute("2301", 5, 140));
  campaign("2302", "Kestrel 40 endurance, back to back", 8, 20, 3, "M. Adeyemi", enduranceRoute("2302", 4, 30));
  campaign(
    "2303",
    "Winding insulation thermal cycles",
    -4,
    21,
    2,
    "J. Lindqvist",
    thermalRoute("2303", [
      { kelvinThousandths: 155_000, hours: 40 },
      { kelvinThousandths: -40_000, hours: 16 },
      { kelvinThousandths: 155_000, hours: 60 },
      { kelvinThousandths: 85_000, hours: 48 },
      { kelvinThousandths: -40_000, hours: 48 },
      { kelvinThousandths: 155_000, hours: 60 },
      { kelvinThousandths: 85_000, hours: 40 },
    ]),
  );

  // Maintenance and calibration.
  const maintenance = (id: string, name: string, releaseDay: number, route: Route): void =>
    add(id, name, route, { kind: "maintenance", quantity: 1, release: day(releaseDay), due: null });
  maintenance(
    "2401",
    "Mill 1 spindle service",
    -2,
    maintenanceRoute("2401", "Spindle service", "mill-1", 240, { window: { start: day(2), end: day(6) } }),
  );
  maintenance("2402", "Wire-cut filters", -2, maintenanceRoute("2402", "Change filters", "wire-cut", 90));
  maintenance("2403", "Wire-cut filters, next", -2, maintenanceRoute("2403", "Change filters", "wire-cut", 90));
  maintenance(
    "2404",
    "Dyno 1 torque calibration",
    5,
    maintenanceRoute(
      "2404",
      "Torque calibration",
      "dyno-1",
      300,
      { calibrates: ["torque"], window: { start: day(10), end: day(25) } },
      "calibration",
    ),
  );
  maintenance(
    "2405",
    "Lathe chuck and way oil",
    3,
    maintenanceRoute("2405", "Monthly service", "lathe", 150, { window: { start: day(7), end: day(12) } }),
  );
  return collect(entries);
}

/** The order that came in after the plan was published. */
export const demoRushOrder = (day: DayOffset): OrderBook =>
  collect([
    {
      id: RUSH_ORDER,
      name: "Falcon 8 rush stator for a customer visit",
      kind: "prototype",
      quantity: 1,
      release: day(0),
      due: day(5),
      weight: 8,
      requester: "R. Osei",
      route: prototypeRoute(RUSH_ORDER, 780, 180),
    },
  ]);
