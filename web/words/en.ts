/** English: the language every other one is measured by. Grouped by screen. */
import { account } from "./en/account.ts";
import { board } from "./en/board.ts";
import { cannotHold } from "./en/cannot-hold.ts";
import { exchange, start } from "./en/entry.ts";
import { feeds } from "./en/feeds.ts";
import { fieldWords as fields } from "./en/fields.ts";
import { fit } from "./en/fit.ts";
import { glossary } from "./en/glossary.ts";
import { how } from "./en/how.ts";
import { howSure } from "./en/how-sure.ts";
import { load } from "./en/load.ts";
import { nights } from "./en/nights.ts";
import { orders, pasted, routes } from "./en/orders.ts";
import { publishing } from "./en/publishing.ts";
import { repair } from "./en/repair.ts";
import { rigs } from "./en/rigs.ts";
import { scenarios } from "./en/scenarios.ts";
import { setup } from "./en/setup.ts";
import { forms, shell, states } from "./en/shell.ts";
import { stations } from "./en/stations.ts";
import { supplies } from "./en/supplies.ts";
import { trouble } from "./en/trouble.ts";
import { upkeep } from "./en/upkeep.ts";

export const en = {
  account,
  board,
  cannotHold,
  fit,
  glossary,
  fields,
  how,
  howSure,
  shell,
  states,
  forms,
  orders,
  publishing,
  pasted,
  routes,
  repair,
  trouble,
  scenarios,
  setup,
  rigs,
  load,
  stations,
  start,
  exchange,
  upkeep,
  feeds,
  nights,
  supplies,
};
