/** Every way into the API: method, path, who may, what goes in and comes out. Nothing outside this table answers. */
import { PLANT_KINDS } from "../../contract/api/shop.ts";
import { feedRoutes } from "./feed-routes.ts";
import { holdRoutes } from "./hold-routes.ts";
import { orderRoutes } from "./order-routes.ts";
import { peopleRoutes } from "./people-routes.ts";
import { planRoutes } from "./plan-routes.ts";
import { plantRoutes, siteRoutes } from "./plant-routes.ts";
import { questionRoutes } from "./question-routes.ts";
import { requestRoutes } from "./request-routes.ts";
import type { Route } from "./route.ts";
import { eventRoutes, runRoutes, shopFileRoutes } from "./run-routes.ts";
import { scenarioRoutes } from "./scenario-routes.ts";
import { settingRoutes } from "./setting-routes.ts";
import { upkeepRoutes } from "./upkeep-routes.ts";
import { versionRoutes } from "./version-routes.ts";
import { windowRoutes } from "./window-routes.ts";

export const routes: readonly Route[] = [
  ...peopleRoutes,
  ...siteRoutes,
  ...PLANT_KINDS.flatMap((kind) => plantRoutes(kind)),
  ...orderRoutes,
  ...planRoutes,
  ...versionRoutes,
  ...settingRoutes,
  ...holdRoutes,
  ...requestRoutes,
  ...runRoutes,
  ...feedRoutes,
  ...upkeepRoutes,
  ...questionRoutes,
  ...scenarioRoutes,
  ...windowRoutes,
  ...shopFileRoutes,
  ...eventRoutes,
];
