/** The strip over the board while somebody looks at ways to fit an order in: one answer's phantoms at a time, adopted from here or left. */
import { Link } from "@tanstack/react-router";
import { useEffect } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { BoardModel } from "../../board/board-model.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import type { BoardController } from "../plan-board/board-controller.ts";
import { labelOf, planWith } from "./fit-model.ts";
import { keyOf } from "./fit-table.tsx";
import { type KeptAnswers, keepAnswers } from "./kept-answers.ts";
import { useAdopt } from "./use-adopt.ts";
import "./fit-strip.css";

const w = words.fit;
const LATE_NAMED = 3;

export function FitStrip({
  kept,
  view,
  controller,
  model,
  unsent,
  mayEdit,
  say,
}: {
  readonly kept: KeptAnswers;
  readonly view: PlanView;
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly unsent: number;
  readonly mayEdit: boolean;
  readonly say: (text: string) => void;
}) {
  const { adopt, refusal } = useAdopt();
  const { rush, order, isNew, draftRevision, chosen } = kept;
  const shown = rush.answers.find((fit) => keyOf(fit) === chosen) ?? rush.answers[0];
  const stale = view.draft.revision !== draftRevision;
  useEffect(() => {
    controller.showGhosts(shown && !stale ? planWith(view.draft.plan as Plan, shown) : null, shown?.operations ?? []);
  }, [controller, view, shown, stale]);
  useEffect(() => () => controller.showGhosts(null), [controller]);
  if (!shown) return null;
  const label = labelOf(shown);
  return (
    <section className="board-offer fit-strip" aria-label={w.strip(order.id, rush.answers.length)} data-testid="fit-strip">
      <div className="board-offer-head">
        <p>{w.strip(order.id, rush.answers.length)}</p>
        <p className="quiet">{stale ? w.stripStale : w.stripHow}</p>
        <span className="row fit-strip-acts">
          {mayEdit ? (
            <button
              type="button"
              className="button button-main"
              disabled={stale || unsent > 0}
              title={unsent > 0 ? w.stripUnsent : undefined}
              onClick={() =>
                void adopt({ view, revision: draftRevision, fit: shown, order, isNew }).then((done) => {
                  if (done) say(w.adopted(order.id));
                })
              }
            >
              {w.adoptNamed(label)}
            </button>
          ) : null}
          <Link className="button" to="/fit" search={isNew ? {} : { order: order.id }}>
            {w.back}
          </Link>
          <button type="button" className="button" onClick={() => keepAnswers(null)}>
            {w.putAway}
          </button>
        </span>
      </div>
      {refusal ? (
        <p className="late" role="alert">
          {refusal.message}
        </p>
      ) : null}
      <div className="fit-strip-cards">
        {rush.answers.map((fit) => (
          <button
            key={keyOf(fit)}
            type="button"
            className="fit-strip-card"
            aria-pressed={fit === shown}
            onClick={() => {
              keepAnswers({ ...kept, chosen: keyOf(fit) });
              say(w.looksAt(labelOf(fit)));
            }}
          >
            <strong>{labelOf(fit)}</strong>{" "}
            {linesOf(fit, model.shop.time).map((line) => (
              <span key={line}>{line} </span>
            ))}
          </button>
        ))}
      </div>
    </section>
  );
}

function linesOf(fit: FitAnswer, time: SiteTime): readonly string[] {
  const late = fit.ordersLate.map(({ order }) => order);
  const most = Math.max(0, ...fit.moved.map(({ minutes }) => Math.abs(minutes)));
  return [
    w.finishes(time.dayTime(fit.finish)),
    w.moves(fit.moved.length, most),
    w.makesLate(late.slice(0, LATE_NAMED), Math.max(0, late.length - LATE_NAMED)),
  ];
}
