/**
 * Campaigns as orders: hours from worked values of the trade, sessions that hold their limits, rigs chosen by numbers, and an order
 * that the shop reads, plans and checks without a conflict.
 */
import { describe, expect, test } from "vitest";
import { demoShop } from "../../../seed/demo-shop.ts";
import { type CampaignInput, campaignSchema } from "../../../src/contract/campaign/campaign-schema.ts";
import { campaignTime, campaignToOrder } from "../../../src/contract/campaign/campaign-to-order.ts";
import { problemFileSchema, readProblemFile } from "../../../src/contract/problem-file.ts";
import { cutIntoSessions } from "../../../src/core/estimate/sessions.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { orderPlaces } from "../../../src/core/plan/order-places.ts";

const file = problemFileSchema.parse({
  ...demoShop("2026-06-10T09:00:00+02:00", { iterations: 60 }),
  orders: [],
  links: [],
  runHourRules: [],
  published: null,
});
const campaign = (changes: Partial<CampaignInput> = {}) =>
  campaignSchema.parse({
    title: "Efficiency map",
    work: { kind: "estimate", estimator: "test-grid", inputs: { speeds: 12, points: 120 } },
    skill: "testing",
    ...changes,
  });

const written = (changes: Partial<CampaignInput> = {}) => {
  const result = campaignToOrder(campaign(changes), file, "C1", "Test field");
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
};
const faults = (changes: Partial<CampaignInput>) => {
  const result = campaignToOrder(campaign(changes), file, "C1", null);
  return result.ok ? [] : result.error;
};

describe("time", () => {
  test("a map of 12 speeds and 120 points takes 44 minutes (own arithmetic: 12 x 20 s + 120 x 20 s)", () => {
    expect(written().time).toMatchObject({ minutes: 44, sessions: [44], aroundMinutes: 110 });
  });
  test("500 h at 0.85 availability are 588.2 h (common practice): 35,295 min in blocks of 20 h", () => {
    const result = campaignTime(
      campaign({ work: { kind: "estimate", estimator: "durability", inputs: { runningHours: 500 } }, sessionMost: 1200 }),
    );
    if (!result.ok) throw new Error(JSON.stringify(result.error));
    expect(result.value.minutes).toBe(Math.ceil((500 * 60) / 0.85));
    expect(result.value.sessions).toHaveLength(30);
    expect(result.value.sessions.reduce((sum, minutes) => sum + minutes, 0)).toBe(result.value.minutes);
  });
  test("the planned point may be the worst of the three", () => {
    expect(written({ work: { ...campaign().work, point: "worst" } as CampaignInput["work"] }).time.minutes).toBe(
      Math.ceil(44 * 1.3),
    );
  });
  test("for every length the sessions are as few as they can be, even, and within their limits - or the limit that would do is named", () => {
    for (let minutes = 1; minutes <= 200; minutes++)
      for (const [least, most] of [
        [1, 7],
        [5, 9],
        [8, 10],
        [10, 10],
        [9, 8],
      ] as const) {
        // by force: the fewest sessions whose lengths can lie between the limits
        const counts = Array.from({ length: 200 }, (_, i) => i + 1).filter((n) => n * least <= minutes && minutes <= n * most);
        const result = cutIntoSessions(minutes, least, most);
        const possible = least <= most && (minutes <= most || counts.length > 0);
        expect({ minutes, least, most, ok: result.ok }).toEqual({ minutes, least, most, ok: possible });
        if (!result.ok) continue;
        expect(result.value).toHaveLength(minutes <= most ? 1 : (counts[0] ?? 0));
        expect(result.value.reduce((sum, one) => sum + one, 0)).toBe(minutes);
        expect(Math.max(...result.value) - Math.min(...result.value)).toBeLessThanOrEqual(1);
      }
  });
  test("what cannot be is refused at its field, with what would do", () => {
    expect(faults({ work: { kind: "estimate", estimator: "test-grid", inputs: { speeds: 0, points: 120 } } })).toEqual([
      { pointer: "/work/inputs/speeds", message: "is 0: expected a whole number from 1 to 1000" },
    ]);
    expect(faults({ work: { kind: "minutes", minutes: 500 }, sessionLeast: 300, sessionMost: 400 })[0]).toEqual({
      pointer: "/sessionLeast",
      message:
        "500 min take at least 2 sessions of at most 400 min, 250 min each; expected a shortest session of at most 250 min",
    });
    expect(faults({ skill: "juggling", articles: [{ kit: "moon" }] }).map(({ pointer }) => pointer)).toEqual([
      "/articles/0/kit",
      "/skill",
    ]);
  });
});

describe("rigs", () => {
  const torque = (to: number) => ({ name: "torque", unit: "N·m", to });
  test("450 N·m are too much for every rig, and each says why", () => {
    const [fault] = faults({ needs: [torque(450)] });
    expect(fault?.pointer).toBe("/needs");
    expect(fault?.message).toContain("Dyno 1, 300 Nm (torque limit 300 N·m < 450 N·m needed)");
    expect(fault?.message).toContain("Thermal fatigue rig (no torque stated, 450 N·m needed)");
  });
  test("speed decides between the dynos; what nobody asked for decides nothing", () => {
    const { rigs, order } = written({ needs: [torque(200), { name: "speed", unit: "1/min", to: 10_000 }] });
    expect(rigs.filter(({ reasons }) => reasons.length === 0).map(({ machines }) => machines)).toEqual([["dyno-2"]]);
    expect(rigs.find(({ machines }) => machines[0] === "dyno-1")?.reasons).toEqual([
      "speed limit 8000 1/min < 10000 1/min needed",
    ]);
    expect(order.operations[0]?.modes.map(({ machines }) => machines)).toEqual([["dyno-2"]]);
    expect(written().rigs.every(({ reasons }) => reasons.length === 0)).toBe(true);
  });
  test("back to back takes both coupled dynos at once", () => {
    const { order, rigs } = written({ backToBack: true, family: "back to back", needs: [torque(300)] });
    expect(order.operations[0]?.modes).toMatchObject([
      { machines: ["dyno-1", "dyno-2"], families: ["back to back", "back to back"] },
    ]);
    expect(rigs.find(({ machines }) => machines.includes("dyno-3"))?.reasons[0]).toContain("no other rig");
  });
  test("unattended work, calibrations, couplings and supplies rule rigs out", () => {
    const reasonsOn = (rig: string, changes: Partial<CampaignInput>) => {
      const result = campaignToOrder(campaign(changes), file, "C1", null);
      const text = result.ok
        ? result.value.rigs.map(({ name, reasons }) => `${name} (${reasons.join("; ")})`).join(", ")
        : result.error.map(({ message }) => message).join();
      return new RegExp(`${rig}[^(]*\\(([^)]*)\\)`).exec(text)?.[1];
    };
    expect(reasonsOn("Dyno 3", { unattended: true })).toBe("never runs unattended");
    expect(reasonsOn("Dyno 3", { calibrations: ["torque"] })).toBe("has no torque calibration");
    expect(reasonsOn("Thermal", { family: "large flange" })).toBe("cannot be set up for “large flange”");
    expect(reasonsOn("Dyno 1", { startTemperature: 23_000 })).toBe("has no chamber temperature");
    expect(reasonsOn("Dyno 1", { draws: [{ supply: "dc", amount: 301 }] })).toContain("300 kW < 301 kW needed");
  });
});

test("the order is read by the shop, planned without a conflict, and its places on each rig hold", () => {
  const { order } = written({
    work: { kind: "minutes", minutes: 2000 },
    sessionMost: 700,
    unattended: true,
    sameRig: true,
    articles: [{ kit: "sample-k40" }],
    holdArticles: true,
    calibrations: ["torque"],
    family: "large flange",
    draws: [{ supply: "dc", amount: 150 }],
    restMinutes: 120,
    earliest: "2026-06-11",
    wantedBy: "2026-06-30",
  });
  expect(order.operations).toHaveLength(3);
  expect(order.kitSpans).toMatchObject([{ kit: "sample-k40", from: "C1/10", to: "C1/30" }]);
  const { links, kitSpans, ...body } = order;
  const read = readProblemFile({ ...file, orders: [body], links, kitSpans });
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const planned = makePlan(read.value, { seed: 1, iterations: 40 });
  expect(planned.conflicts).toEqual([]);
  const { places, full } = orderPlaces(read.value, { operations: [] }, "C1");
  expect(full).toEqual([]);
  expect(places.map(({ machines }) => machines).sort()).toEqual([["dyno-1"], ["dyno-2"]]);
  for (const place of places) {
    expect(place.nights).toBeGreaterThanOrEqual(1);
    expect(place.nightMinutes).toBeGreaterThan(0);
    expect(place.nightMinutes).toBeLessThan(2000);
    expect(place.end - place.start).toBeGreaterThan(2000 + 2 * 120);
  }
});
