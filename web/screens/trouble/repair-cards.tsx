/** Repairs side by side, each with what it costs: who moves, who becomes late, who is told anew. Looking at one shows its phantoms. */
import type { RepairAnswer } from "../../../src/contract/api/questions/trouble.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { operationNumber } from "../../board/bar.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import "./repair-cards.css";

const NAMED_MAX = 3;
const TOLD_MAX = 5;

type CardsProps = {
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly answers: readonly (RepairAnswer & { readonly movesDropped?: boolean })[];
  /** The work that was dropped, if it was a drop. */
  readonly dropped?: { readonly operation: string; readonly number: string } | undefined;
  /** Operations that wait for a place anyway. */
  readonly toPlace: number;
  /** Minutes of lateness if nothing is repaired; left out: not told. */
  readonly lateBefore?: number | undefined;
  readonly disabled?: boolean;
  readonly onLook: (answer: RepairAnswer | null) => void;
  readonly onTake: (answer: RepairAnswer) => void;
};

export function RepairCards({ problem, time, answers, dropped, toPlace, lateBefore, disabled, onLook, onTake }: CardsProps) {
  const say = words.repair;
  return (
    <div className="repair-cards">
      {answers.map((answer, i) => (
        <button
          key={answer.kind}
          type="button"
          className="repair-card"
          disabled={disabled}
          aria-keyshortcuts={String(i + 1)}
          onMouseEnter={() => onLook(answer)}
          onFocus={() => onLook(answer)}
          onClick={() => onTake(answer)}
        >
          <strong>
            <span className="key-hint" aria-hidden="true">
              {i + 1}
            </span>{" "}
            {say.kinds[answer.kind]}
          </strong>
          {linesOf({ problem, time, dropped, toPlace, lateBefore }, answer).map((line) => (
            <span key={line}>{line} </span>
          ))}
        </button>
      ))}
    </div>
  );
}

type Told = Pick<CardsProps, "problem" | "time" | "dropped" | "toPlace" | "lateBefore">;

function linesOf({ problem, time, dropped, toPlace, lateBefore }: Told, answer: CardsProps["answers"][number]): string[] {
  const say = words.repair;
  const others = answer.moved.filter(({ operation }) => operation !== dropped?.operation);
  const homeless = answer.conflicts.filter(({ kind }) => kind === "notPlanned").length - toPlace;
  const summary = [
    say.moves(others.length),
    answer.movesDropped && dropped !== undefined ? say.movesDropped(dropped.number) : "",
    say.conflicts(answer.conflicts.filter(({ kind }) => kind !== "notPlanned").length),
    homeless > 0 ? say.homeless(homeless) : "",
  ];
  const worse = answer.orders
    .filter(({ lateBefore: before, lateAfter }) => lateAfter > before)
    .sort((a, b) => b.lateAfter - b.lateBefore - (a.lateAfter - a.lateBefore));
  const [worst] = worse;
  const later = worst
    ? [
        worst.lateBefore === 0
          ? say.becomesLate(worst.order, worst.lateAfter)
          : say.becomesLater(worst.order, worst.lateAfter - worst.lateBefore),
        worse.length > 1 ? say.moreLate(worse.length - 1) : "",
      ]
    : [
        lateBefore !== undefined && answer.lateMinutes < lateBefore
          ? say.gains(lateBefore - answer.lateMinutes)
          : say.nobodyLater,
      ];
  const told = [
    ...answer.toldAnew.machines.map((id) => problem.machines.find((machine) => machine.id === id)?.name ?? id),
    ...answer.toldAnew.crews.map((id) => problem.crews.find((crew) => crew.id === id)?.name ?? id),
  ];
  const { added } = answer;
  return [
    sentence(summary),
    others.length > 0
      ? say.whichMove(
          others.slice(0, NAMED_MAX).map(({ operation }) => numberOf(problem, operation)),
          Math.max(0, others.length - NAMED_MAX),
        )
      : "",
    added ? (added.end === null ? say.notMade(added.order) : say.madeAgain(added.order, time.short(added.end))) : "",
    sentence(later),
    told.length === 0 ? say.toldNobody : say.toldAnew(told.slice(0, TOLD_MAX), Math.max(0, told.length - TOLD_MAX)),
  ].filter((line) => line !== "");
}

const numberOf = (problem: Problem, id: string): string => {
  const operation = problem.operations.find((candidate) => candidate.id === id);
  return operation ? operationNumber(operation) : id;
};

const sentence = (parts: readonly string[]): string => {
  const text = parts.filter((part) => part !== "").join(", ");
  return text.charAt(0).toUpperCase() + text.slice(1);
};
