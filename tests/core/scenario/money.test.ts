/** What plans cost, worked by hand: a rush order, an idle night, overtime against lateness. Rates are invented. */
import { expect, test } from "vitest";
import { hasRates, idleNight, moneyDifference, moneyOf, type Rates } from "../../../src/core/scenario/money.ts";
import { overtimeOf } from "../../../src/core/scenario/overtime.ts";
import { crew, operation, order, plan, put, run, shop, unattended, weekdays } from "../check/shop.ts";

const rates: Rates = {
  currency: "EUR",
  machineHour: { m: 60, n: 40 },
  crewHour: { day: 30 },
  nightHour: 12,
  overtimePercent: 50,
  lateDay: 240,
};

const x = operation("x", { order: "a", phases: [run(120)] });
const z = operation("z", { order: "b", machines: ["n"], phases: [unattended(300)] });
const r = operation("r", { order: "rush", phases: [run(60)] });
const orders = [order("a", {}), order("b", { due: 700, weight: 2 })];
const today = shop({ orders, operations: [x, z] });
const rushed = shop({ orders: [...orders, order("rush", {})], operations: [x, z, r] });
const quiet = plan(today, put("x", [[420, 540]]), put("z", [[720, 1020]]));

test("a plan: machine hours, people, night hours, lateness", () => {
  // m 2 h at 60, n 5 h at 40; 2 h of a person at 30; 15:00-17:00 alone at 12; 320 min late, weight 2, at 240 a day.
  expect(moneyOf(rates, today, today, quiet)).toEqual({
    items: { machines: 320, people: 60, overtime: 0, night: 24, lateness: 106.67 },
    total: 510.67,
  });
});

test("a rush costs its own hours and what it does to others", () => {
  const pushed = plan(rushed, put("x", [[420, 540]]), put("r", [[540, 600]]), put("z", [[780, 1080]]));
  const cost = moneyDifference(moneyOf(rates, today, today, quiet), moneyOf(rates, rushed, rushed, pushed));
  // An hour of m and of a person; z runs an hour longer into the evening and ends 60 min later, weight 2.
  expect(cost).toEqual({ items: { machines: 60, people: 30, overtime: 0, night: 12, lateness: 20 }, total: 122 });
});

test("an idle night costs what its free machines would have earned", () => {
  // Monday 15:00 to Tuesday 07:00: n is held until 17:00, m stands free all of it.
  expect(idleNight(rates, today, quiet, [900, 1860])).toEqual([
    { machine: "m", minutes: 960, money: 768 },
    { machine: "n", minutes: 840, money: 392 },
  ]);
  expect(idleNight({ ...rates, machineHour: { n: 40 } }, today, quiet, [900, 1860]).map(({ machine }) => machine)).toEqual(["n"]);
});

test("overtime is paid for, lateness is saved, hours of the usual shift become overtime", () => {
  const y = operation("y", { order: "c", phases: [run(240)] });
  const book = { orders: [order("c", { due: 900 })], operations: [y] };
  const usual = shop(book);
  const longer = shop({
    ...book,
    crews: [crew("day", { shift: [...weekdays(420, 900).slice(0, 10), [420, 1020], ...weekdays(420, 900).slice(11)] })],
  });
  const waits = plan(usual, put("y", [[1860, 2100]]));
  const stays = plan(longer, put("y", [[780, 1020]]));
  expect(overtimeOf(usual, longer, stays)).toEqual({
    addedPersonMinutes: 120,
    workedPersonMinutes: 120,
    addedMachineMinutes: 0,
    byCrew: [{ crew: "day", added: 120, worked: 120 }],
  });
  // 2 h at 30 + 50 %, 2 h less at the usual rate, 120 min late instead of 1,200.
  expect(moneyDifference(moneyOf(rates, usual, usual, waits), moneyOf(rates, usual, longer, stays))).toEqual({
    items: { machines: 0, people: -60, overtime: 90, night: 0, lateness: -180 },
    total: -150,
  });
});

test("without rates there is nothing to show", () => {
  const none: Rates = { currency: "EUR", machineHour: {}, crewHour: {}, nightHour: null, overtimePercent: null, lateDay: null };
  expect(hasRates(none)).toBe(false);
  expect(hasRates({ ...none, lateDay: 100 })).toBe(true);
  expect(moneyOf(none, today, today, quiet).total).toBe(0);
});
