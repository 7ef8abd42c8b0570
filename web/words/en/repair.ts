/** Words of repairs: after a drop on the board, and after trouble. What each answer costs, in few words. */
import { durationText } from "../../present/duration.ts";

const plural = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`;

export const repair = {
  title: "Repairs",
  dropped: (number: string, made: number) =>
    `${number} makes ${plural(made, "conflict", "conflicts")} where you put it. Others can make room:`,
  looking: "Looking for repairs …",
  searching: "Looking for better ones until you choose …",
  none: (number: string) =>
    `${number}: nothing was found that leaves fewer conflicts. It stays as you put it, and the conflicts are numbered.`,
  kinds: { leastMovement: "Least movement", leastLateness: "Least lateness" },
  moves: (count: number) => (count === 0 ? "nothing else moves" : `${plural(count, "operation moves", "operations move")}`),
  movesDropped: (number: string) => `${number} moves too`,
  whichMove: (numbers: readonly string[], more: number) => `Moves: ${numbers.join(", ")}${more > 0 ? ` and ${more} more` : ""}`,
  becomesLate: (order: string, minutes: number) => `${order} becomes late by ${durationText(minutes)}`,
  becomesLater: (order: string, minutes: number) => `${order} later by ${durationText(minutes)}`,
  moreLate: (count: number) => `${plural(count, "more order suffers", "more orders suffer")}`,
  gains: (minutes: number) => `${durationText(minutes)} of lateness less in all`,
  nobodyLater: "no order becomes later",
  conflicts: (count: number) => (count === 0 ? "no conflict left" : `${plural(count, "conflict stays", "conflicts stay")}`),
  homeless: (count: number) => `${plural(count, "operation finds", "operations find")} no place`,
  toldAnew: (names: readonly string[], more: number) => `Told anew: ${names.join(", ")}${more > 0 ? ` and ${more} more` : ""}`,
  toldNobody: "Nobody is told anew",
  madeAgain: (order: string, when: string) => `${order} is made by ${when}`,
  notMade: (order: string) => `${order} finds no place before the horizon`,
  take: (kind: string, key: string) => `${kind} (key ${key})`,
  leave: "Leave it as dropped",
  leaveHint: "Esc",
  taken: (kind: string, moves: number) =>
    `${kind} taken: ${plural(moves, "operation", "operations")} moved. Undo brings it back.`,
  note: (kind: string, number: string) => `${kind} after ${number} was moved`,
  found: (count: number) =>
    count === 1
      ? "One repair found. Press 1 to take it, Escape to leave the work as you dropped it."
      : "Two repairs found. Press 1 or 2 to take one, Escape to leave the work as you dropped it.",
};
