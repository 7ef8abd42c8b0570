/** notPlanned and modeNotOffered: work that the plan leaves out, or does in a way that the operation does not have. */
import { conflictOf, plannedLots, type Scene } from "./scene.ts";

export function checkPlannedAtAll(scene: Scene): void {
  const { problem, lots, name, at, write } = scene;
  for (const operation of lots.notPlanned) {
    const sentence = `${name(operation)} is not planned.`;
    write(conflictOf("notPlanned", [operation.id], null, [problem.now, problem.horizon], 0, sentence));
  }
  for (const { operation, mode, planned, start, end } of plannedLots(scene)) {
    if (mode !== null || planned === null) continue;
    const sentence = `${name(operation)} is planned at ${at(start)} in the mode "${planned.mode}", which it does not offer.`;
    write(conflictOf("modeNotOffered", [operation.id], null, [start, end], end - start, sentence));
  }
}
