/** The answers of a rush question: the table, the one looked at as a drawing, and its changes in words. */
import { Link } from "@tanstack/react-router";
import type { OrderBody } from "../../../src/contract/api/order.ts";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { QuestionAnswer } from "../../../src/contract/api/question.ts";
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import { ANSWERS_LEAST } from "../../../src/core/plan/rush-choice.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { useSiteTime } from "../../client/shop.ts";
import { Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { changeRows } from "./change-rows.ts";
import { ChangeTable } from "./change-table.tsx";
import { FitDrawing } from "./fit-drawing.tsx";
import { labelOf, measures } from "./fit-model.ts";
import { FitTable, keyOf } from "./fit-table.tsx";
import { SoonestNote, soonestText } from "./soonest-note.tsx";

const w = words.fit;

/** Where on the board the order would lie, with some room around it. */
function placeOf({ operations }: FitAnswer) {
  const from = Math.min(...operations.map(({ start }) => start));
  const until = Math.max(...operations.map(({ end }) => end));
  const room = Math.ceil((until - from) / 8);
  const machine = operations.flatMap(({ machines }) => machines)[0];
  return { from: from - room, until: until + room, ...(machine === undefined ? {} : { machine }) };
}

type AnswersProps = {
  readonly view: PlanView;
  readonly order: OrderBody | null;
  readonly rush: QuestionAnswer<"rush">;
  readonly chosenKey: string | null;
  readonly peek: number | null;
  readonly over: boolean;
  readonly mayAdopt: boolean;
  readonly onChoose: (key: string) => void;
  readonly onPeek: (index: number | null) => void;
  readonly onAdopt: (fit: FitAnswer) => void;
  /** Before the board is opened to look at the answer there. */
  readonly onBoard: (fit: FitAnswer) => void;
  readonly mayLook: boolean;
};

export function FitAnswers(props: AnswersProps) {
  const { view, order, rush, chosenKey, peek, over, mayAdopt, mayLook, onChoose, onPeek, onAdopt, onBoard } = props;
  const time = useSiteTime();
  const problem = view.problem as Problem;
  const { answers, blocked } = rush;
  const isProven = rush.soonest?.finish != null && rush.before.finish !== null && rush.before.finish <= rush.soonest.finish;
  const limit = isProven ? soonestText(rush, (minute) => time.dayTime(minute)) : null;
  if (answers.length === 0)
    return over ? (
      <Notice
        kind="warn"
        title={limit ?? (rush.before.finish === null ? w.nothingFound : w.nothingSooner(time.dayTime(rush.before.finish)))}
      >
        <SoonestNote rush={rush} titled={limit !== null} />
        {rush.tried === null ? null : <p>{w.fewer(0, rush.tried)}</p>}
        {blocked.length > 0 ? (
          <>
            {w.blocked}
            <ul>
              {blocked.slice(0, 5).map((sentence) => (
                <li key={sentence}>{sentence}</li>
              ))}
            </ul>
          </>
        ) : null}
      </Notice>
    ) : null;
  // While better ones come in, the choice stays with the answer, not with its column.
  const at = answers.findIndex((fit) => keyOf(fit) === chosenKey);
  const balanced = answers.findIndex(({ labels }) => labels.includes("noPromiseBroken"));
  const chosen = at >= 0 ? at : Math.max(0, balanced);
  const shown = answers[peek ?? chosen] ?? answers[chosen];
  if (!shown) return null;
  const proved = rush.settled;
  const best = proved === null ? undefined : answers[proved.answer];
  const settled =
    proved === null || best === undefined
      ? null
      : w.soonest.settled(
          labelOf(best),
          proved.open.map((name) => w.soonest.open[name]),
        );
  return (
    <>
      <FitTable
        answers={answers}
        measures={measures(answers, { problem, time, due: rush.due, before: rush.before })}
        chosen={chosen}
        mayAdopt={mayAdopt}
        onChoose={(index) => onChoose(keyOf(answers[index] as FitAnswer))}
        onPeek={onPeek}
        onAdopt={(index) => onAdopt(answers[index] as FitAnswer)}
      />
      {over && rush.tried !== null && answers.length < ANSWERS_LEAST ? (
        <>
          <p className="quiet">{w.fewer(answers.length, rush.tried)}</p>
          {settled === null ? null : <p className="fit-limit">{settled}</p>}
        </>
      ) : null}
      {over ? <SoonestNote rush={rush} titled={false} /> : null}
      <div className="fit-head">
        <h3>{w.drawing}</h3>
        <p className="quiet">{w.drawingAbout(labelOf(shown))}</p>
        {mayLook ? (
          <Link className="button" to="/" search={placeOf(shown)} onClick={() => onBoard(shown)}>
            {w.showBoard}
          </Link>
        ) : null}
      </div>
      <FitDrawing rows={changeRows(problem, view.draft.plan as Plan, shown, rush.order, order)} problem={problem} time={time} />
      <ChangeTable fit={shown} draft={view.draft.plan as Plan} problem={problem} time={time} />
    </>
  );
}
