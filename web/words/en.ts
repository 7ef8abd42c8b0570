/** English: the language every other one is measured by. Grouped by screen. */
import { account } from "./en/account.ts";
import { board } from "./en/board.ts";
import { cannotHold } from "./en/cannot-hold.ts";
import { exchange, start } from "./en/entry.ts";
import { feeds } from "./en/feeds.ts";
import { fit } from "./en/fit.ts";
import { glossary } from "./en/glossary.ts";
import { orders, pasted, routes } from "./en/orders.ts";
import { load, stations } from "./en/reports.ts";
import { setup } from "./en/setup.ts";
import { forms, shell, states } from "./en/shell.ts";
import { upkeep } from "./en/upkeep.ts";

export const en = {
  account,
  board,
  cannotHold,
  fit,
  glossary,
  shell,
  states,
  forms,
  orders,
  pasted,
  routes,
  setup,
  load,
  stations,
  start,
  exchange,
  upkeep,
  feeds,
};
