/** The strip over the board after a drop that makes conflicts: repairs to choose from, or leave it. Beside the drawing, never over it. */
import { useEffect, useRef } from "react";
import type { RepairAnswer } from "../../../src/contract/api/questions/trouble.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { words } from "../../words/words.ts";
import { RepairCards } from "../trouble/repair-cards.tsx";
import type { BoardController } from "./board-controller.ts";
import type { DropOffer } from "./use-drop-repair.ts";

const { repair } = words;

export function DropOfferStrip({
  controller,
  model,
  offer,
  say,
  onTake,
  onLeave,
}: {
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly offer: DropOffer;
  readonly say: (text: string) => void;
  readonly onTake: (answer: RepairAnswer) => void;
  readonly onLeave: () => void;
}) {
  const { answers, searching, number } = offer;
  const found = answers.length;
  const tell = useRef(say);
  tell.current = say;
  const looked = useRef<RepairAnswer["kind"] | null>(null);

  // The first answer shows itself; a better one takes the place of the one that is looked at.
  useEffect(() => {
    const shown = answers.find(({ kind }) => kind === looked.current) ?? answers[0];
    controller.showGhosts(shown?.plan ?? null);
  }, [controller, answers]);
  useEffect(() => () => controller.showGhosts(null), [controller]);
  useEffect(() => {
    if (found > 0) tell.current(repair.found(found));
    else if (!searching) tell.current(repair.none(number));
  }, [found, searching, number]);

  return (
    <section className="board-offer" aria-label={repair.title} data-testid="drop-offer">
      <div className="board-offer-head">
        <p>{found === 0 && !searching ? repair.none(number) : repair.dropped(number, offer.made)}</p>
        {searching ? (
          <p className="quiet" role="status">
            <span className="board-run-mark" aria-hidden="true" /> {found === 0 ? repair.looking : repair.searching}
          </p>
        ) : null}
        <button type="button" className="button" onClick={onLeave} aria-keyshortcuts="Escape">
          {repair.leave}{" "}
          <span className="key-hint" aria-hidden="true">
            {repair.leaveHint}
          </span>
        </button>
      </div>
      <RepairCards
        problem={model.shop.problem}
        time={model.shop.time}
        answers={answers}
        dropped={offer}
        toPlace={model.conflicts.unplanned.length}
        onLook={(answer) => {
          looked.current = answer?.kind ?? null;
          controller.showGhosts(answer?.plan ?? null);
        }}
        onTake={onTake}
      />
    </section>
  );
}
