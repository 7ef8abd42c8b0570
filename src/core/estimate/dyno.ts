/**
 * Work on dynos: power, a grid of test points, thermal settling and cool-down, duty types, durability.
 * Sources: P = T omega; thermal equilibrium and the duty types S1-S10 of IEC 60034-1 (definitions; how long each takes on a rig
 * is planning practice, no source); grid = speeds x ramp + points x (step + settle + log).
 */
import type { Fault } from "../ground/result.ts";
import { defineEstimator, type InputField } from "./estimate.ts";
import { minutesToDecay, minutesToEquilibrium, remainderAtEquilibriumKelvin } from "./thermal.ts";

/** Shaft power in kW from newton metres and revolutions per minute. */
export const shaftKilowatts = (torqueNewtonMetres: number, revolutionsPerMinute: number): number =>
  (torqueNewtonMetres * 2 * Math.PI * revolutionsPerMinute) / 60_000;

/** Two machines back to back: what goes round, and what the supply must add. Each chain has the efficiency given. */
export function backToBackKilowatts(
  shaftPowerKilowatts: number,
  chainEfficiency: number,
): { inKilowatts: number; backKilowatts: number; netKilowatts: number } {
  const inKilowatts = shaftPowerKilowatts / chainEfficiency;
  const backKilowatts = shaftPowerKilowatts * chainEfficiency;
  return { inKilowatts, backKilowatts, netKilowatts: inKilowatts - backKilowatts };
}

export const testGrid = defineEstimator({
  kind: "test-grid",
  title: "Grid of test points",
  source:
    "speeds x ramp + points x (step + settle + log), repeats and cool-downs added (arithmetic; recovery from a first-order time constant)",
  fields: [
    { name: "speeds", label: "Speeds", unit: "", least: 1, most: 1000, whole: true, fallback: null },
    { name: "rampSeconds", label: "Ramp to a speed", unit: "s", least: 0, most: 3600, fallback: 20 },
    { name: "points", label: "Points in all", unit: "", least: 1, most: 100_000, whole: true, fallback: null },
    { name: "stepSeconds", label: "Step to a point", unit: "s", least: 0, most: 3600, fallback: 5 },
    { name: "settleSeconds", label: "Settle", unit: "s", least: 0, most: 36_000, fallback: 10 },
    { name: "logSeconds", label: "Log", unit: "s", least: 0, most: 36_000, fallback: 5 },
    { name: "repeatsPercent", label: "Repeats", unit: "%", least: 0, most: 100, fallback: 0 },
    {
      name: "pointsAboveContinuous",
      label: "Points above the continuous limit",
      unit: "",
      least: 0,
      most: 100_000,
      whole: true,
      fallback: 0,
    },
    {
      name: "recoveryFromKelvin",
      label: "Rise after such a point, above where it must return to",
      unit: "K",
      least: 0,
      most: 300,
      fallback: 0,
    },
    { name: "recoveryToKelvin", label: "Rise at which the next may begin", unit: "K", least: 0.1, most: 300, fallback: 2 },
    { name: "tauMinutes", label: "Thermal time constant", unit: "min", least: 0.1, most: 10_000, fallback: 40 },
  ],
  work: (v): ReturnType<Parameters<typeof defineEstimator>[0]["work"]> => {
    if (v.pointsAboveContinuous > v.points)
      return {
        at: "pointsAboveContinuous",
        message: `is ${v.pointsAboveContinuous}: expected at most the ${v.points} points of the grid`,
      } satisfies Fault;
    const each = v.stepSeconds + v.settleSeconds + v.logSeconds;
    const bare = v.speeds * v.rampSeconds + v.points * each;
    const recovery = 60 * minutesToDecay(v.tauMinutes, v.recoveryFromKelvin, v.recoveryToKelvin);
    return {
      working: [
        { label: "Ramps", formula: `${v.speeds} x ${v.rampSeconds} s`, seconds: v.speeds * v.rampSeconds },
        {
          label: "Points",
          formula: `${v.points} x (${v.stepSeconds} + ${v.settleSeconds} + ${v.logSeconds}) s`,
          seconds: v.points * each,
        },
        { label: "Repeats", formula: `${v.repeatsPercent} % of the above`, seconds: (bare * v.repeatsPercent) / 100 },
        {
          label: "Recovery",
          formula: `${v.pointsAboveContinuous} x ${v.tauMinutes} min x ln(${v.recoveryFromKelvin} / ${v.recoveryToKelvin})`,
          seconds: v.pointsAboveContinuous * recovery,
        },
      ],
    };
  },
});

export const thermalSettling = defineEstimator({
  kind: "thermal-settling",
  title: "Thermal equilibrium (gradient of at most 2 K/h)",
  source: "IEC 60034-1, thermal equilibrium; t = tau ln(dT / (2 tau / 60)), tau in minutes",
  fields: [
    { name: "tauMinutes", label: "Thermal time constant", unit: "min", least: 0.1, most: 10_000, fallback: null },
    { name: "stepKelvin", label: "Step of the final rise", unit: "K", least: 0, most: 500, fallback: null },
  ],
  work: (v) => ({
    working: [
      {
        label: "To equilibrium",
        formula: `${v.tauMinutes} min x ln(${v.stepKelvin} / ${remainderAtEquilibriumKelvin(v.tauMinutes).toFixed(2)})`,
        seconds: 60 * minutesToEquilibrium(v.tauMinutes, v.stepKelvin),
      },
    ],
    figures: [
      { label: "Rise still missing then", value: Math.min(v.stepKelvin, remainderAtEquilibriumKelvin(v.tauMinutes)), unit: "K" },
    ],
  }),
});

export const coolDown = defineEstimator({
  kind: "cool-down",
  title: "Cool-down before handling or measuring",
  source: "t = tau ln(dT0 / dT1), first-order cooling",
  fields: [
    { name: "tauMinutes", label: "Thermal time constant", unit: "min", least: 0.1, most: 10_000, fallback: null },
    { name: "fromCelsius", label: "From", unit: "degC", least: -200, most: 1500, fallback: null },
    { name: "toCelsius", label: "To", unit: "degC", least: -200, most: 1500, fallback: null },
    { name: "ambientCelsius", label: "Surroundings", unit: "degC", least: -200, most: 200, fallback: 23 },
  ],
  work: (v) => {
    const from = Math.abs(v.fromCelsius - v.ambientCelsius);
    const to = Math.abs(v.toCelsius - v.ambientCelsius);
    if ((v.toCelsius - v.ambientCelsius) * (v.fromCelsius - v.ambientCelsius) <= 0 || to > from)
      return {
        at: "toCelsius",
        message: `is ${v.toCelsius}: expected a temperature between ${v.fromCelsius} and the surroundings of ${v.ambientCelsius} degC`,
      };
    return {
      working: [
        {
          label: "Cool-down",
          formula: `${v.tauMinutes} min x ln(${from} / ${to})`,
          seconds: 60 * minutesToDecay(v.tauMinutes, from, to),
        },
      ],
    };
  },
});

const tau: InputField = {
  name: "tauMinutes",
  label: "Thermal time constant",
  unit: "min",
  least: 0.1,
  most: 10_000,
  fallback: null,
};

export const dutyS1 = defineEstimator({
  kind: "duty-s1",
  title: "Duty S1: continuous, to equilibrium",
  source: "IEC 60034-1 duty type S1; shutdown resistance curve 15 min (planning practice, no source)",
  fields: [
    tau as InputField & { name: "tauMinutes" },
    { name: "stepKelvin", label: "Final rise", unit: "K", least: 1, most: 500, fallback: null },
    { name: "resistanceCurveMinutes", label: "Shutdown resistance curve", unit: "min", least: 0, most: 240, fallback: 15 },
  ],
  work: (v) => ({
    working: [
      {
        label: "To equilibrium",
        formula: `${v.tauMinutes} min x ln(${v.stepKelvin} / ${remainderAtEquilibriumKelvin(v.tauMinutes).toFixed(2)})`,
        seconds: 60 * minutesToEquilibrium(v.tauMinutes, v.stepKelvin),
      },
      { label: "Resistance curve", formula: `${v.resistanceCurveMinutes} min`, seconds: 60 * v.resistanceCurveMinutes },
    ],
  }),
});

export const dutyS2 = defineEstimator({
  kind: "duty-s2",
  title: "Duty S2: short time, then rest to the coolant",
  source: "IEC 60034-1 duty type S2 (rest to within 2 K of the coolant)",
  fields: [
    { name: "loadMinutes", label: "Stated load time", unit: "min", least: 1, most: 240, fallback: null },
    { name: "restTauMinutes", label: "Time constant at standstill", unit: "min", least: 0.1, most: 10_000, fallback: null },
    { name: "riseKelvin", label: "Rise at the end of the load", unit: "K", least: 2, most: 500, fallback: null },
    { name: "runs", label: "Runs", unit: "", least: 1, most: 100, whole: true, fallback: 1 },
  ],
  work: (v) => {
    const rest = 60 * minutesToDecay(v.restTauMinutes, v.riseKelvin, 2);
    return {
      working: [
        { label: "Load", formula: `${v.runs} x ${v.loadMinutes} min`, seconds: 60 * v.runs * v.loadMinutes },
        {
          label: "Rest between runs",
          formula: `${v.runs - 1} x ${v.restTauMinutes} min x ln(${v.riseKelvin} / 2)`,
          seconds: (v.runs - 1) * rest,
        },
      ],
      figures: [{ label: "One rest", value: rest / 60, unit: "min" }],
    };
  },
});

export const dutyPeriodic = defineEstimator({
  kind: "duty-periodic",
  title: "Duty S3 to S8: equal cycles until the temperature repeats",
  source: "IEC 60034-1 duty types S3-S8, cycle of 10 min unless stated; about 5 time constants (planning practice, no source)",
  fields: [
    tau as InputField & { name: "tauMinutes" },
    { name: "cycleMinutes", label: "Cycle", unit: "min", least: 0.1, most: 600, fallback: 10 },
    { name: "timeConstants", label: "Time constants", unit: "", least: 1, most: 10, fallback: 5 },
  ],
  work: (v) => {
    const cycles = Math.ceil((v.timeConstants * v.tauMinutes) / v.cycleMinutes - 1e-9);
    return {
      working: [{ label: "Cycles", formula: `${cycles} x ${v.cycleMinutes} min`, seconds: 60 * cycles * v.cycleMinutes }],
      figures: [{ label: "Cycles", value: cycles, unit: "" }],
    };
  },
});

export const dutyS9 = defineEstimator({
  kind: "duty-s9",
  title: "Duty S9: recorded profile",
  source: "IEC 60034-1 duty type S9: as long as the recorded profile",
  fields: [
    { name: "profileMinutes", label: "Length of the profile", unit: "min", least: 0.1, most: 100_000, fallback: null },
    { name: "repetitions", label: "Repetitions", unit: "", least: 1, most: 100_000, whole: true, fallback: 1 },
  ],
  work: (v) => ({
    working: [
      { label: "Profile", formula: `${v.repetitions} x ${v.profileMinutes} min`, seconds: 60 * v.repetitions * v.profileMinutes },
    ],
  }),
});

export const dutyS10 = defineEstimator({
  kind: "duty-s10",
  title: "Duty S10: discrete constant loads, each to equilibrium",
  source: "IEC 60034-1 duty type S10; sum of the settling of each level",
  fields: [
    tau as InputField & { name: "tauMinutes" },
    { name: "levels", label: "Load levels", unit: "", least: 1, most: 100, whole: true, fallback: null },
    { name: "stepKelvin", label: "Step of the rise between levels", unit: "K", least: 0, most: 500, fallback: null },
  ],
  work: (v) => ({
    working: [
      {
        label: "Levels",
        formula: `${v.levels} x settling of ${v.stepKelvin} K`,
        seconds: 60 * v.levels * minutesToEquilibrium(v.tauMinutes, v.stepKelvin),
      },
    ],
  }),
});

export const durability = defineEstimator({
  kind: "durability",
  title: "Durability hours or cycles",
  source:
    "cycles x cycle time, or hours; elapsed = running / availability (availability 0.80-0.90 is common practice, no source)",
  fields: [
    { name: "runningHours", label: "Running hours wanted", unit: "h", least: 0, most: 20_000, fallback: 0 },
    { name: "cycles", label: "Cycles wanted", unit: "", least: 0, most: 100_000_000, whole: true, fallback: 0 },
    { name: "cycleSeconds", label: "Each cycle", unit: "s", least: 0, most: 1_000_000, fallback: 0 },
    { name: "availabilityPercent", label: "Share of the time it really runs", unit: "%", least: 10, most: 100, fallback: 85 },
  ],
  work: (v) => {
    const running = 3600 * v.runningHours + v.cycles * v.cycleSeconds;
    if (running <= 0) return { at: "runningHours", message: "expected running hours, or cycles with their seconds" };
    return {
      working: [
        { label: "Running", formula: `${v.runningHours} h + ${v.cycles} x ${v.cycleSeconds} s`, seconds: running },
        {
          label: "Inspections and stops",
          formula: `running / ${v.availabilityPercent} % - running`,
          seconds: running * (100 / v.availabilityPercent - 1),
        },
      ],
      bestFactor: v.availabilityPercent / 100,
      worstFactor: 1.25,
    };
  },
});
