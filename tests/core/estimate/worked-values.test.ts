/** Worked values of the trade, through the estimators. Each names where its number comes from. */
import { describe, expect, test } from "vitest";
import { ESTIMATORS } from "../../../src/core/estimate/catalogue.ts";
import { withstandVolts } from "../../../src/core/estimate/chamber.ts";
import { backToBackKilowatts, shaftKilowatts } from "../../../src/core/estimate/dyno.ts";
import { minutesOf } from "../../../src/core/estimate/estimate.ts";
import { shareHeated } from "../../../src/core/estimate/thermal.ts";
import { spoolHours, spoolMetres } from "../../../src/core/estimate/wire-cut.ts";

const likelyMinutes = (kind: string, inputs: Record<string, number>): number => {
  const estimator = ESTIMATORS.find((e) => e.kind === kind);
  if (!estimator) throw new Error(`no estimator ${kind}`);
  const result = estimator.estimate(inputs);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  const { bestSeconds, likelySeconds, worstSeconds, working } = result.value;
  expect(bestSeconds).toBeLessThanOrEqual(likelySeconds);
  expect(worstSeconds).toBeGreaterThanOrEqual(likelySeconds);
  expect(working.reduce((sum, line) => sum + line.seconds, 0)).toBeCloseTo(likelySeconds, 6);
  return likelySeconds / 60;
};

describe("machining", () => {
  test("[D1] face pass of a tool maker's formula page: 37.5 s at vf 800", () => {
    // D 200 mm, n 200 1/min is vc = pi D n / 1000
    const minutes = likelyMinutes("milling-pass", {
      cutterDiameterMm: 200,
      cuttingSpeedMetresPerMinute: (Math.PI * 200 * 200) / 1000,
      teeth: 16,
      feedPerToothMm: 0.25,
      pathMm: 500,
    });
    expect(minutes * 60).toBeCloseTo(37.5, 6);
  });
  test("[D2] twelve passes of 354 mm at D 50, vc 200, z 5, fz 0.15 take about 4.45 min (own arithmetic)", () => {
    expect(
      likelyMinutes("milling-pass", {
        cutterDiameterMm: 50,
        cuttingSpeedMetresPerMinute: 200,
        teeth: 5,
        feedPerToothMm: 0.15,
        pathMm: 354,
        passes: 12,
      }),
    ).toBeCloseTo(4.45, 2);
  });
  test("[D4] 24 good pieces at 4 % scrap: 25 started, 540 min (own arithmetic)", () => {
    const minutes = likelyMinutes("batch", { goodPieces: 24, scrapPerMille: 40, setupMinutes: 90, cycleSeconds: 1080 });
    expect(minutes).toBeCloseTo(540, 9);
    expect(minutesOf(minutes * 60)).toBe(540);
  });
  test("[D5] rough wire cut 160 x 40 mm at 150 mm2/min: about 42.67 min (area-rate form of published estimators)", () => {
    expect(likelyMinutes("wire-cut", { cutLengthMm: 160, heightMm: 40, threadings: 0 })).toBeCloseTo(42.667, 3);
  });
  test("[D7] with lead-in, two trims, three threadings and a slug stop: 109.7 min (own arithmetic)", () => {
    // the worked value counts the lead-in in the rough cut only; the trims run the contour, 160 mm, so they are asked for apart
    const rough = likelyMinutes("wire-cut", {
      cutLengthMm: 160,
      leadInMm: 5,
      heightMm: 40,
      threadings: 3,
      threadingSeconds: 90,
      slugStops: 1,
      slugStopMinutes: 10,
    });
    expect(rough).toBeCloseTo(44 + 4.5 + 10, 9);
    const trims =
      likelyMinutes("wire-cut", { cutLengthMm: 160, heightMm: 40, trims: 2, threadings: 0 }) -
      likelyMinutes("wire-cut", { cutLengthMm: 160, heightMm: 40, threadings: 0 });
    expect(trims).toBeCloseTo(51.2, 9);
    expect(rough + trims).toBeCloseTo(109.7, 1);
  });
  test.each([
    [0.2, 29_959, 49.9],
    [0.25, 19_173, 32.0],
    [0.3, 13_315, 22.2],
  ])("[U3] 8 kg of %d mm brass wire (own arithmetic, rho 8500 kg/m3)", (diameter, metres, hours) => {
    expect(spoolMetres(8, diameter)).toBeCloseTo(metres, -1);
    expect(spoolHours(8, diameter, 10)).toBeCloseTo(hours, 1);
  });
  test("[U4] 16 kg of 0.25 mm at 10 m/min falls 0.1 h short of a 64 h weekend (own arithmetic)", () => {
    expect(64 - spoolHours(16, 0.25, 10)).toBeCloseTo(0.1, 1);
  });
});

describe("electric machines", () => {
  test("[D10] 200 Nm at 6000 1/min is 125.66 kW (P = T omega)", () => expect(shaftKilowatts(200, 6000)).toBeCloseTo(125.66, 2));
  test("[D11] 100 kW back to back, each chain 0.92: 108.7 in, 92.0 back, 16.7 net (own arithmetic)", () => {
    const power = backToBackKilowatts(100, 0.92);
    expect(power.inKilowatts).toBeCloseTo(108.7, 1);
    expect(power.backKilowatts).toBeCloseTo(92, 9);
    expect(power.netKilowatts).toBeCloseTo(16.7, 1);
  });
  test("[D12] share of the final rise after 1 to 5 time constants", () => {
    expect([1, 2, 3, 4, 5].map((n) => Math.round(1000 * shareHeated(n * 40, 40)))).toEqual([632, 865, 950, 982, 993]);
  });
  test.each([
    [40, 163.8],
    [20, 96],
    [60, 221],
    [90, 296],
  ])("[D14] equilibrium within 2 K/h, tau %d min, 80 K (IEC 60034-1 definition)", (tau, minutes) => {
    expect(likelyMinutes("thermal-settling", { tauMinutes: tau, stepKelvin: 80 })).toBeCloseTo(
      minutes,
      minutes === 163.8 ? 1 : -0.5,
    );
  });
  test("[D15] map of 12 speeds and 120 points: 44 min, with 10 % repeats 48.4 min (own arithmetic; the page rounds to 48)", () => {
    expect(likelyMinutes("test-grid", { speeds: 12, points: 120 })).toBeCloseTo(44, 9);
    expect(likelyMinutes("test-grid", { speeds: 12, points: 120, repeatsPercent: 10 })).toBeCloseTo(48.4, 9);
  });
  test.each([
    [40, 147.6],
    [80, 295.1],
  ])("[D16] rest after S2 to within 2 K, tau %d min, 80 K (IEC 60034-1)", (tau, rest) => {
    expect(likelyMinutes("duty-s2", { loadMinutes: 30, restTauMinutes: tau, riseKelvin: 80, runs: 2 })).toBeCloseTo(60 + rest, 1);
  });
  test("S1 takes about 165 min and the resistance curve; S3 of 10 min takes 20 cycles (IEC 60034-1; planning practice)", () => {
    expect(likelyMinutes("duty-s1", { tauMinutes: 40, stepKelvin: 80 })).toBeCloseTo(163.8 + 15, 1);
    expect(likelyMinutes("duty-periodic", { tauMinutes: 40 })).toBe(200);
  });
  test.each([
    [400, 1800],
    [440, 1880],
    [500, 2000],
    [690, 2380],
    [24, 1500],
  ])("[D17] withstand voltage of a %d V winding (IEC 60034-1, 9.2)", (rated, volts) => expect(withstandVolts(rated)).toBe(volts));
  test("[D21] 100 000 cycles of 12 s are 333.3 h; [D22] 500 h at 0.85 are 588.2 h (own arithmetic)", () => {
    expect(likelyMinutes("durability", { cycles: 100_000, cycleSeconds: 12, availabilityPercent: 100 }) / 60).toBeCloseTo(
      333.3,
      1,
    );
    expect(likelyMinutes("durability", { runningHours: 500 }) / 60).toBeCloseTo(588.2, 1);
  });
  test.each([
    [45, 59.3],
    [40, 69.7],
  ])("[D34] from 120 to %d degC at 23, tau 40 min (own arithmetic)", (to, minutes) => {
    expect(likelyMinutes("cool-down", { tauMinutes: 40, fromCelsius: 120, toCelsius: to })).toBeCloseTo(minutes, 1);
  });
});

describe("chamber and fatigue", () => {
  test.each([
    [1e6, 20, 13.89],
    [2e6, 10, 55.56],
    [1e7, 30, 92.59],
  ])("[D24] %d cycles at %d Hz (arithmetic)", (cycles, hertz, hours) =>
    expect(likelyMinutes("fatigue", { cycles, frequencyHertz: hertz }) / 60).toBeCloseTo(hours, 2),
  );
  test("[D26] -40/+85 at 3 K/min with 2 x 60 min: 203.3 min a cycle, ten cycles 33.9 h (own arithmetic)", () => {
    const inputs = { lowCelsius: -40, highCelsius: 85, rampKelvinPerMinute: 3, dwellMinutes: 60 };
    expect(likelyMinutes("thermal-cycles", { ...inputs, cycles: 1 })).toBeCloseTo(203.3, 1);
    expect(likelyMinutes("thermal-cycles", { ...inputs, cycles: 10 }) / 60).toBeCloseTo(33.9, 1);
  });
  test("[D27] 500 cycles of a published sample specification (4.167 K/min, 2 x 30 min): 1000 h", () => {
    expect(
      likelyMinutes("thermal-cycles", {
        lowCelsius: -40,
        highCelsius: 85,
        rampKelvinPerMinute: 125 / 30,
        dwellMinutes: 30,
        cycles: 500,
      }) / 60,
    ).toBeCloseTo(1000, 6);
  });
  test("[D29] soak to within 3 K, tau 30 min, 125 K: 111.9 min (IEC 60068-1)", () => {
    const base = { lowCelsius: -40, highCelsius: 85, rampKelvinPerMinute: 3, dwellMinutes: 0, cycles: 1 };
    expect(
      (likelyMinutes("thermal-cycles", { ...base, specimenTauMinutes: 30 }) - likelyMinutes("thermal-cycles", base)) / 2,
    ).toBeCloseTo(111.9, 1);
  });
});

describe("refusals", () => {
  test("every estimator refuses what is missing, too large or unknown, with the range", () => {
    for (const estimator of ESTIMATORS) {
      const field = estimator.fields[0];
      if (!field) throw new Error("no field");
      const result = estimator.estimate({ [field.name]: field.most + 1, nonsense: 1 });
      expect(result.ok).toBe(false);
      if (result.ok) continue;
      expect(result.error.find((fault) => fault.at === field.name)?.message).toContain(`from ${field.least} to ${field.most}`);
      expect(result.error.find((fault) => fault.at === "nonsense")?.message).toContain(field.name);
    }
  });
  test("a cool-down never goes below the surroundings", () => {
    const result = ESTIMATORS.find((e) => e.kind === "cool-down")?.estimate({ tauMinutes: 40, fromCelsius: 120, toCelsius: 20 });
    expect(result?.ok).toBe(false);
  });
});
