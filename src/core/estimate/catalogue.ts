/** Every estimator by its kind: what the command line, the API and the forms offer. */
import { fatigue, insulationTest, thermalCycles } from "./chamber.ts";
import { coolDown, durability, dutyPeriodic, dutyS1, dutyS2, dutyS9, dutyS10, testGrid, thermalSettling } from "./dyno.ts";
import type { Estimator } from "./estimate.ts";
import { batch, millingPass } from "./milling.ts";
import { wireCut } from "./wire-cut.ts";

export const ESTIMATORS: readonly Estimator[] = [
  millingPass,
  batch,
  wireCut,
  testGrid,
  thermalSettling,
  coolDown,
  dutyS1,
  dutyS2,
  dutyPeriodic,
  dutyS9,
  dutyS10,
  durability,
  thermalCycles,
  fatigue,
  insulationTest,
];
