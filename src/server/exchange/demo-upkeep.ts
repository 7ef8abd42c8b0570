/** Upkeep rules of the demo shop, dated relative to the day it is loaded; its intervals are invented figures, not advice. */
import type { UpkeepRuleInFile } from "../../contract/api/upkeep.ts";

const DAY_MS = 86_400_000;

export function demoUpkeepRules(now: Date): readonly UpkeepRuleInFile[] {
  const date = (days: number): string => new Date(now.getTime() + days * DAY_MS).toISOString().slice(0, 10);
  const common = { aheadDays: 30, earlyDays: 10, lateDays: 0 };
  return [
    {
      id: "lathe-service",
      name: "Lathe, monthly service",
      machine: "lathe",
      trigger: { kind: "days", every: 28, first: date(12), counted: "lastDone" },
      ...common,
      aheadDays: 10,
      lateDays: 3,
      task: { title: "Monthly service", minutes: 150, skill: "maintenance", people: 100 },
    },
    {
      id: "wire-cut-filter-change",
      name: "Wire-cut filters",
      machine: "wire-cut",
      trigger: { kind: "runHours", rule: "wire-cut-filters" },
      ...common,
      task: { title: "Change filters", minutes: 90, skill: "maintenance", people: 100 },
    },
    {
      id: "dyno-1-torque",
      name: "Dyno 1, torque",
      machine: "dyno-1",
      trigger: { kind: "calibration", calibration: "torque" },
      ...common,
      task: { title: "Torque calibration", minutes: 240, skill: "calibration", people: 100 },
    },
    {
      id: "press-force",
      name: "Press, force trace",
      machine: "press",
      trigger: { kind: "calibration", calibration: "force" },
      ...common,
      aheadDays: 45,
      task: { title: "Calibrate the force trace", minutes: 180, skill: "calibration", people: 100 },
    },
  ];
}
