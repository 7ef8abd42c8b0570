/** The strip over the board after a trouble was told: what it breaks, the repairs with their phantoms on the board, taking it in. */
import { useEffect, useRef } from "react";
import type { RepairAnswer } from "../../../src/contract/api/questions/trouble.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { words } from "../../words/words.ts";
import type { BoardController } from "../plan-board/board-controller.ts";
import { TroubleAnswer } from "./trouble-answer.tsx";
import type { Telling } from "./use-trouble.ts";

export function TroubleStrip({
  controller,
  model,
  telling,
  unsent,
  say,
  onTaken,
  onNever,
}: {
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly telling: Telling;
  readonly unsent: number;
  readonly say: (text: string) => void;
  readonly onTaken: (sentence: string) => void;
  readonly onNever: () => void;
}) {
  const { trouble } = words;
  const { asking, told } = telling;
  const answers = asking.answer?.answers;
  const looked = useRef<RepairAnswer["kind"] | null>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  useEffect(() => {
    const shown = answers?.find(({ kind }) => kind === looked.current) ?? answers?.[0];
    controller.showGhosts(shown?.plan ?? null);
  }, [controller, answers]);
  useEffect(() => () => controller.showGhosts(null), [controller]);
  const tell = useRef(say);
  tell.current = say;
  const broken = asking.answer?.breaks.conflicts.length;
  useEffect(() => {
    if (broken !== undefined) tell.current(broken === 0 ? words.trouble.breaksNothing : words.trouble.breaks(broken));
  }, [broken]);
  if (!told) return null;
  return (
    <section
      className="board-offer"
      aria-label={trouble.title}
      data-testid="trouble-strip"
      onKeyDown={(event) => {
        if (event.key !== "Escape") return;
        event.preventDefault();
        onNever();
      }}
    >
      <div className="board-offer-head">
        <h2 ref={heading} tabIndex={-1} className="trouble-told">
          {told.sentence}
        </h2>
        <button type="button" className="button" onClick={onNever}>
          {trouble.never}
        </button>
      </div>
      {unsent > 0 ? <p className="late">{trouble.unsent}</p> : null}
      <TroubleAnswer
        telling={telling}
        problem={model.shop.problem}
        time={model.shop.time}
        toPlace={model.conflicts.unplanned.length}
        onLook={(answer) => {
          looked.current = answer?.kind ?? null;
          controller.showGhosts(answer?.plan ?? null);
        }}
        onTakeIn={(answer) =>
          void telling.takeIn(answer).then((done) => {
            if (done) onTaken(told.sentence);
          })
        }
      />
    </section>
  );
}
