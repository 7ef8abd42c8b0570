/** The title block: what is being worked on, what it is based on, and the counters - all from the one conflict list and one model. */
import { Link } from "@tanstack/react-router";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { HowComputed } from "../../parts/term.tsx";
import { LOCALE } from "../../present/locale.ts";
import { words } from "../../words/words.ts";
import { ProposalsWaiting } from "../publishing/proposals-waiting.tsx";
import { BadMark, LateMark, RushMark } from "./marks.tsx";

const PUBLISHED = { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" } as const;

type TitleBlockProps = {
  readonly view: PlanView;
  readonly model: BoardModel;
  readonly unsent: number;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly mayEdit: boolean;
  readonly running: boolean;
  readonly onUndo: () => void;
  readonly onRedo: () => void;
  readonly onReplan: () => void;
  readonly onPublish: () => void;
  readonly onTrouble: (trouble: "conflict" | "late" | "rush") => void;
  /** Tells that something went wrong on the floor; left out: nothing comes of it. */
  readonly onWrong?: (() => void) | undefined;
};

type TitleFactsProps = Pick<TitleBlockProps, "view" | "model" | "unsent" | "onTrouble">;

/** The facts of the title block: on the screen, and at the head of every printed sheet. */
export function TitleFacts(props: TitleFactsProps) {
  const { view, model } = props;
  const { head } = words.board;
  const when = view.published
    ? new Intl.DateTimeFormat(LOCALE, { ...PUBLISHED, timeZone: view.problem.zone }).format(new Date(view.published.publishedAt))
    : "";
  const { placed, unplanned } = model.conflicts;
  return (
    <dl>
      <div>
        <dt>{props.unsent > 0 ? <strong className="board-unsent">{head.waiting(props.unsent)}</strong> : head.workingOn}</dt>
        <dd>{head.draft(view.draft.revision)}</dd>
      </div>
      <div>
        <dt>{head.basedOn}</dt>
        <dd>{view.published ? head.version(view.published.version, when) : head.nothingPublished}</dd>
      </div>
      <div>
        <dt>
          <HowComputed label={head.moved} text={head.movedHow} />
        </dt>
        <dd data-testid="count-moved">{head.operations(model.moved)}</dd>
      </div>
      <Counter
        label={head.conflicts}
        how={head.conflictsHow}
        count={placed.length}
        mark={<BadMark />}
        tone="bad"
        onClick={() => props.onTrouble("conflict")}
        testId="count-conflicts"
        extra={unplanned.length > 0 ? head.toPlace(unplanned.length) : null}
      />
      <Counter
        label={head.late}
        how={head.lateHow}
        count={model.late.length}
        mark={<LateMark />}
        tone="late"
        onClick={() => props.onTrouble("late")}
        testId="count-late"
      />
      <Counter
        label={head.rush}
        how={head.rushHow}
        count={model.rush.length}
        mark={<RushMark />}
        tone="rush"
        onClick={() => props.onTrouble("rush")}
        testId="count-rush"
      />
    </dl>
  );
}

export function TitleBlock(props: TitleBlockProps) {
  const { head } = words.board;
  return (
    <div className="board-title">
      <TitleFacts {...props} />
      <div className="board-acts">
        {props.onWrong ? (
          <button type="button" className="button" onClick={props.onWrong}>
            {words.trouble.open}
          </button>
        ) : null}
        {props.mayEdit ? <EditActs {...props} /> : <p className="quiet">{head.readOnly}</p>}
        <ProposalsWaiting />
        {props.mayEdit ? (
          <button type="button" className="button button-main" onClick={props.onPublish}>
            {head.publish}
          </button>
        ) : null}
      </div>
    </div>
  );
}

function EditActs(props: TitleBlockProps) {
  const { head } = words.board;
  return (
    <>
      <button type="button" className="button" disabled={!props.canUndo} onClick={props.onUndo} aria-keyshortcuts="Control+Z">
        {head.undo}
      </button>
      <button type="button" className="button" disabled={!props.canRedo} onClick={props.onRedo} aria-keyshortcuts="Control+Y">
        {head.redo}
      </button>
      <Link className="button" to="/fit" title={words.fit.linkTitle}>
        {words.fit.link}
      </Link>
      <button type="button" className="button" disabled={props.running} onClick={props.onReplan}>
        {head.replan}
      </button>
    </>
  );
}

type CounterProps = {
  readonly label: string;
  readonly how: string;
  readonly count: number;
  readonly mark: React.ReactNode;
  readonly tone: string;
  readonly onClick: () => void;
  readonly testId: string;
  readonly extra?: string | null;
};

/** A counter is a way to what it counts: each press shows the next one. */
function Counter({ label, how, count, mark, tone, onClick, testId, extra }: CounterProps) {
  return (
    <div className="board-counter" data-tone={count > 0 ? tone : undefined}>
      <dt>
        <HowComputed label={label} text={how} />
      </dt>
      <dd>
        <button type="button" onClick={onClick} disabled={count === 0}>
          {mark}
          <span data-testid={testId}>{count}</span>
          {extra ? <small>{extra}</small> : null}
        </button>
      </dd>
    </div>
  );
}
