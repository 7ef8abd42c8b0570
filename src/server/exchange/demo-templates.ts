/** Route templates of the demo shop: its kinds of work once more, without an order, to copy into a new one. */
import type { z } from "zod";
import {
  enduranceRoute,
  housingRoute,
  mapCampaignRoute,
  motorRoute,
  prototypeRoute,
  type Route,
  shaftRoute,
  statorRoute,
} from "../../../seed/demo-shop/routes.ts";
import { type RouteTemplate, routeTemplateSchema } from "../../contract/api/shop.ts";

const template = (id: string, name: string, notes: string, route: Route): RouteTemplate =>
  routeTemplateSchema.parse({ id, name, notes, ...route } satisfies z.input<typeof routeTemplateSchema>);

export const demoTemplates = (): RouteTemplate[] => [
  template(
    "housing",
    "Housing",
    "Milled in up to two lots, bearings pressed in.",
    housingRoute("housing", 18, false, "fixture-kestrel-40"),
  ),
  template(
    "housing-coated",
    "Housing, coated",
    "Milled, five working days at the coater, bearings pressed in.",
    housingRoute("housing-coated", 18, true, "fixture-kestrel-40"),
  ),
  template(
    "shaft",
    "Rotor shaft",
    "Turned, and milled piece by piece behind it; balanced at the end.",
    shaftRoute("shaft", 9, 7),
  ),
  template(
    "stator",
    "Stator, small lot",
    "Stack cut by wire overnight, wound, impregnated and baked.",
    statorRoute("stator", 1_560, "0.25 wire", 380),
  ),
  template("motor", "Motor", "Assembled and tested.", motorRoute("motor", 26, "large flange", "jig-kestrel-40")),
  template(
    "prototype",
    "Prototype drive",
    "Cut, wound, milled, assembled and tested once.",
    prototypeRoute("prototype", 900, 240),
  ),
  template("map-campaign", "Efficiency map", "Test sessions on one rig.", mapCampaignRoute("map-campaign", 5, 140)),
  template("endurance", "Endurance run", "Long unattended blocks back to back.", enduranceRoute("endurance", 4, 30)),
];
