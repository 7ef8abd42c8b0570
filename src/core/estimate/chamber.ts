/**
 * Thermal chamber, fatigue and insulation work.
 * Sources: ramp = |dT| / rate, cycle = 2 dT / rate + dwells (arithmetic; test Nb of IEC 60068-2-14); soak of the specimen to within
 * 3 K of the target = tau ln(dT / 3) (IEC 60068-1); fatigue = cycles / frequency; winding withstand voltage 2 U + 1000 V, at least
 * 1500 V, for 1 min (IEC 60034-1, 9.2). The connect-test-discharge time of a unit is common practice, no source.
 * High voltage is for skilled or instructed people under local rules; these figures only plan their time.
 */
import { defineEstimator } from "./estimate.ts";
import { minutesToDecay } from "./thermal.ts";

export const thermalCycles = defineEstimator({
  kind: "thermal-cycles",
  title: "Temperature cycles in a chamber",
  source: "2 dT / rate + dwells, per cycle (IEC 60068-2-14, test Nb); soak by tau ln(dT / 3 K) (IEC 60068-1)",
  fields: [
    { name: "lowCelsius", label: "Low", unit: "degC", least: -196, most: 400, fallback: null },
    { name: "highCelsius", label: "High", unit: "degC", least: -196, most: 400, fallback: null },
    { name: "rampKelvinPerMinute", label: "Ramp", unit: "K/min", least: 0.1, most: 60, fallback: null },
    { name: "dwellMinutes", label: "Dwell at each end", unit: "min", least: 0, most: 10_000, fallback: null },
    { name: "cycles", label: "Cycles", unit: "", least: 1, most: 100_000, whole: true, fallback: null },
    {
      name: "specimenTauMinutes",
      label: "Time constant of the specimen, 0: the dwell covers it",
      unit: "min",
      least: 0,
      most: 10_000,
      fallback: 0,
    },
  ],
  work: (v) => {
    const span = v.highCelsius - v.lowCelsius;
    if (span <= 0)
      return {
        at: "highCelsius",
        message: `is ${v.highCelsius}: expected more than the low temperature of ${v.lowCelsius} degC`,
      };
    const ramps = (60 * 2 * span) / v.rampKelvinPerMinute;
    const soak = v.specimenTauMinutes === 0 ? 0 : 60 * minutesToDecay(v.specimenTauMinutes, span, 3);
    return {
      working: [
        { label: "Ramps", formula: `${v.cycles} x 2 x ${span} K / ${v.rampKelvinPerMinute} K/min`, seconds: v.cycles * ramps },
        {
          label: "Soak of the specimen",
          formula: `${v.cycles} x 2 x ${v.specimenTauMinutes} min x ln(${span} / 3)`,
          seconds: v.cycles * 2 * soak,
        },
        { label: "Dwells", formula: `${v.cycles} x 2 x ${v.dwellMinutes} min`, seconds: v.cycles * 2 * 60 * v.dwellMinutes },
      ],
      figures: [{ label: "One cycle", value: (ramps + 2 * soak + 120 * v.dwellMinutes) / 60, unit: "min" }],
    };
  },
});

export const fatigue = defineEstimator({
  kind: "fatigue",
  title: "Fatigue cycles at a frequency",
  source: "cycles / frequency (arithmetic)",
  fields: [
    { name: "cycles", label: "Cycles", unit: "", least: 1, most: 10_000_000_000, whole: true, fallback: null },
    { name: "frequencyHertz", label: "Frequency", unit: "Hz", least: 0.001, most: 1000, fallback: null },
  ],
  work: (v) => ({
    working: [{ label: "Cycling", formula: `${v.cycles} / ${v.frequencyHertz} Hz`, seconds: v.cycles / v.frequencyHertz }],
  }),
});

/** Withstand voltage in volts for a winding rated `ratedVolts`; repeated tests use 80 % of it. */
export const withstandVolts = (ratedVolts: number): number => Math.max(1500, 2 * ratedVolts + 1000);

export const insulationTest = defineEstimator({
  kind: "insulation-test",
  title: "Insulation test of windings, attended by two",
  source:
    "2 U + 1000 V, at least 1500 V, 1 min (IEC 60034-1, 9.2); connect, test, discharge 20-40 min a unit (common practice, no source)",
  fields: [
    { name: "units", label: "Units", unit: "", least: 1, most: 10_000, whole: true, fallback: null },
    { name: "ratedVolts", label: "Rated voltage", unit: "V", least: 1, most: 15_000, fallback: null },
    { name: "connectMinutes", label: "Connect and make ready", unit: "min", least: 0, most: 240, fallback: 15 },
    { name: "resistanceMinutes", label: "Insulation resistance readings", unit: "min", least: 0, most: 60, fallback: 10 },
    { name: "holdMinutes", label: "Hold", unit: "min", least: 0, most: 60, fallback: 1 },
    {
      name: "dischargeMinutes",
      label: "Discharge and measure, by the label's waiting time",
      unit: "min",
      least: 0,
      most: 240,
      fallback: 10,
    },
  ],
  work: (v) => ({
    working: [
      { label: "Connect", formula: `${v.units} x ${v.connectMinutes} min`, seconds: 60 * v.units * v.connectMinutes },
      {
        label: "Resistance readings",
        formula: `${v.units} x ${v.resistanceMinutes} min`,
        seconds: 60 * v.units * v.resistanceMinutes,
      },
      { label: "Hold", formula: `${v.units} x ${v.holdMinutes} min`, seconds: 60 * v.units * v.holdMinutes },
      { label: "Discharge", formula: `${v.units} x ${v.dischargeMinutes} min`, seconds: 60 * v.units * v.dischargeMinutes },
    ],
    figures: [
      { label: "Withstand voltage", value: withstandVolts(v.ratedVolts), unit: "V" },
      { label: "If repeated", value: 0.8 * withstandVolts(v.ratedVolts), unit: "V" },
    ],
  }),
});
