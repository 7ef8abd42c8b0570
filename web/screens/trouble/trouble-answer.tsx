/** What a trouble breaks and the repairs to choose from; the same over the board and in the order's dialog. */
import type { TroubleAnswer as Answer, RepairAnswer } from "../../../src/contract/api/questions/trouble.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { Notice } from "../../parts/states.tsx";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { RepairCards } from "./repair-cards.tsx";
import type { Telling } from "./use-trouble.ts";

const SAID_MAX = 3;

type TroubleAnswerProps = {
  readonly telling: Telling;
  readonly problem: Problem;
  readonly time: SiteTime;
  /** Operations that wait for a place anyway. */
  readonly toPlace: number;
  readonly onLook: (answer: RepairAnswer | null) => void;
  readonly onTakeIn: (answer: RepairAnswer | null) => void;
};

export function TroubleAnswer({ telling, problem, time, toPlace, onLook, onTakeIn }: TroubleAnswerProps) {
  const say = words.trouble;
  const { asking, told, sending, refused } = telling;
  const { answer } = asking;
  const searching = asking.state === "queued" || asking.state === "running";
  const closed = sending || asking.stale;
  return (
    <>
      {asking.error !== null ? <Notice kind="bad">{asking.error}</Notice> : null}
      {refused !== null ? <Notice kind="bad">{refused}</Notice> : null}
      {asking.stale && answer ? (
        <Notice kind="warn">
          <div>{say.stale}</div>
          <button type="button" className="button button-small" onClick={telling.again}>
            {say.again}
          </button>
        </Notice>
      ) : null}
      <div className="trouble-body">
        <div className="trouble-breaks" data-testid={answer ? "trouble-breaks" : undefined}>
          {answer ? <Breaks answer={answer} /> : null}
          {told?.trouble.kind === "machineStopped" ? <p className="quiet">{say.caution}</p> : null}
        </div>
        <div className="trouble-repairs">
          {searching ? (
            <p className="quiet" role="status">
              <span className="working-mark" aria-hidden="true" />{" "}
              {answer === null ? say.looking : answer.answers.length === 0 ? say.repairs : say.better}
            </p>
          ) : null}
          {answer && answer.answers.length > 0 ? (
            <RepairCards
              problem={problem}
              time={time}
              answers={answer.answers}
              toPlace={toPlace}
              lateBefore={answer.lateMinutes}
              disabled={closed}
              onLook={onLook}
              onTake={onTakeIn}
            />
          ) : null}
          {answer ? (
            <button type="button" className="button button-small" disabled={closed} onClick={() => onTakeIn(null)}>
              {say.asItIs}
            </button>
          ) : null}
        </div>
      </div>
    </>
  );
}

function Breaks({ answer }: { readonly answer: Answer }) {
  const say = words.trouble;
  const { conflicts, orders } = answer.breaks;
  return (
    <>
      <p>
        <strong>{conflicts.length === 0 ? say.breaksNothing : say.breaks(conflicts.length)}</strong>{" "}
        {orders.map(({ order, lateAfter }) => (lateAfter > 0 ? say.late(order, lateAfter) : say.noLonger(order))).join(" ")}
      </p>
      {conflicts.length > 0 ? (
        <ul>
          {conflicts.slice(0, SAID_MAX).map(({ sentence }) => (
            <li key={sentence}>{sentence}</li>
          ))}
          {conflicts.length > SAID_MAX ? <li className="quiet">{say.more(conflicts.length - SAID_MAX)}</li> : null}
        </ul>
      ) : null}
    </>
  );
}
