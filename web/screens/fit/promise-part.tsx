/** The date to promise: which slot, how sure, the text to quote with its assumptions, and holding the slot until a moment. */
import { useState } from "react";
import type { PromiseAnswer, PromiseDateView } from "../../../src/contract/api/questions/promise.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { Notice } from "../../parts/states.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { toast } from "../../parts/toast.tsx";
import { chanceText } from "../../present/amounts.ts";
import { fieldsOfMoment, momentOfFields, type SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { overRestText } from "../how-sure/over-rest-text.ts";
import { endOfNextWorkingDay } from "./fit-model.ts";

const w = words.fit;

export type HoldWish = {
  readonly date: PromiseDateView;
  /** What is promised; null: that date lies beyond the horizon. */
  readonly promised: number | null;
  readonly until: number;
  readonly note: string;
};

type PromisePartProps = {
  readonly answer: PromiseAnswer;
  readonly problem: Problem;
  readonly time: SiteTime;
  /** "Order 2301 Merlin 60 housing", "40 pieces". */
  readonly what: string;
  readonly pieces: string;
  readonly isNew: boolean;
  /** null: holding is not possible here, and why stands elsewhere. */
  readonly onHold: ((wish: HoldWish) => void) | null;
  readonly holding: boolean;
};

export function PromisePart({ answer, problem, time, what, pieces, isNew, onHold, holding }: PromisePartProps) {
  const [slot, setSlot] = useState<"asItStands" | "withMoves">(answer.asItStands ? "asItStands" : "withMoves");
  const [sure, setSure] = useState<number | null>(80);
  const [until, setUntil] = useState(() => fieldsOfMoment(endOfNextWorkingDay(problem, time), time));
  const [note, setNote] = useState("");
  const date = answer[slot] ?? answer.asItStands ?? answer.withMoves;
  if (!date)
    return (
      <Notice kind="warn" title={w.nothingFound}>
        {answer.blocked.length > 0 ? (
          <>
            {w.blocked}
            <ul>
              {answer.blocked.slice(0, 5).map((sentence) => (
                <li key={sentence}>{sentence}</li>
              ))}
            </ul>
          </>
        ) : null}
      </Notice>
    );
  const options = [
    { percent: null, finish: date.finish as number | null, label: w.planned },
    ...(date.confidence?.dates ?? []).map(({ percent, finish }) => ({
      percent: percent as number | null,
      finish,
      label: w.at(percent),
    })),
  ];
  const chosen = options.find(({ percent }) => percent === sure) ?? options[0];
  const untilMinute = time.minuteOf(momentOfFields(until.date, until.time) ?? "", "end");
  const untilText = untilMinute === null ? "" : time.dayTime(untilMinute);
  const quote = quoteText({
    what,
    pieces,
    chosen,
    time,
    untilText,
    assumptions: answer.assumptions.map(({ sentence }) => sentence),
  });
  const copy = (): void => {
    const done = navigator.clipboard?.writeText(quote) ?? Promise.reject(new Error("no clipboard"));
    done.then(
      () => toast(w.copied),
      () => toast(w.notCopied),
    );
  };
  const nameOf = (id: string): string => problem.operations.find((operation) => operation.id === id)?.name ?? "";
  const isPast = untilMinute === null || untilMinute <= time.now;
  return (
    <div className="fit-promise">
      <div>
        <fieldset className="fit-choices">
          <legend className="label">{w.slotWhich}</legend>
          {(["asItStands", "withMoves"] as const).map((which) => {
            const known = answer[which];
            if (!known) return null;
            return (
              <label key={which} className="check">
                <input type="radio" name="fit-slot" checked={date === known} onChange={() => setSlot(which)} />
                <span>
                  <strong>{time.dayTime(known.finish)}</strong> {w[which]}
                  {which === "withMoves" ? <span className="quiet">. {w.withMovesCount(known.fit.moved.length)}</span> : null}
                </span>
              </label>
            );
          })}
        </fieldset>
        <fieldset className="fit-choices">
          <legend className="label">
            <HowComputed label={w.promiseWhich} text={words.how.fit.sure} />
          </legend>
          {options.map(({ percent, finish, label }) => (
            <label key={label} className="check">
              <input
                type="radio"
                name="fit-date"
                checked={chosen?.percent === percent}
                disabled={finish === null}
                onChange={() => setSure(percent)}
              />
              <span>
                <strong>{finish === null ? w.beyond : time.dayTime(finish)}</strong> {label}
              </span>
            </label>
          ))}
          {date.confidence === null ? <p className="quiet">{w.noConfidence}</p> : null}
          {date.confidence?.overRest ? <p className="quiet">{overRestText(date.confidence.overRest, time, false)}</p> : null}
        </fieldset>
        {date.confidence && date.confidence.decides.length > 0 ? (
          <div className="fit-decides">
            <p className="label">
              <HowComputed label={w.decides} text={words.how.fit.decides} />
            </p>
            <ul>
              {date.confidence.decides.map(({ operation, share }) => (
                <li key={operation}>{w.decidesLine(operation, nameOf(operation), chanceText(share))}</li>
              ))}
            </ul>
          </div>
        ) : null}
        {onHold ? (
          <form
            className="fit-hold"
            onSubmit={(event) => {
              event.preventDefault();
              if (!isPast && untilMinute !== null) onHold({ date, promised: chosen?.finish ?? null, until: untilMinute, note });
            }}
          >
            <div className="fields">
              <fieldset className="field">
                <legend className="label">{w.holdUntil}</legend>
                <span className="moment">
                  <input
                    type="date"
                    aria-label={words.forms.dateOf(w.holdUntil)}
                    value={until.date}
                    onChange={(event) => setUntil({ ...until, date: event.target.value })}
                  />
                  <input
                    type="time"
                    aria-label={words.forms.timeOf(w.holdUntil)}
                    value={until.time}
                    onChange={(event) => setUntil({ ...until, time: event.target.value })}
                  />
                </span>
                {isPast ? <span className="field-fault">{w.holdPast}</span> : null}
              </fieldset>
              <div className="field">
                <label className="label" htmlFor="fit-hold-note">
                  {w.holdNote}
                </label>
                <input
                  id="fit-hold-note"
                  type="text"
                  maxLength={500}
                  value={note}
                  onChange={(event) => setNote(event.target.value)}
                />
              </div>
            </div>
            <button type="submit" className="button button-main" disabled={isPast || holding}>
              {w.hold(untilText)}
            </button>
            <p className="quiet">{isNew ? w.holdAbout : w.holdAboutOld}</p>
          </form>
        ) : null}
      </div>
      <div className="fit-quote">
        <label className="label" htmlFor="fit-quote">
          {w.quote}
        </label>
        <textarea id="fit-quote" readOnly rows={quote.split("\n").length + 2} value={quote} />
        <div className="row">
          <button type="button" className="button" onClick={copy}>
            {w.copy}
          </button>
        </div>
      </div>
    </div>
  );
}

type Quote = {
  readonly what: string;
  readonly pieces: string;
  readonly chosen: { readonly percent: number | null; readonly finish: number | null; readonly label: string } | undefined;
  readonly time: SiteTime;
  readonly untilText: string;
  readonly assumptions: readonly string[];
};

function quoteText({ what, pieces, chosen, time, untilText, assumptions }: Quote): string {
  const finish = chosen?.finish ?? null;
  const day = finish === null ? w.beyond : time.dayTime(finish);
  return [
    w.quoteText(what, pieces, day, (chosen?.label ?? w.planned).toLowerCase()),
    ...(untilText === "" ? [] : [w.quoteUntil(untilText)]),
    w.quoteAssumes,
    ...assumptions.map((sentence) => `- ${sentence}`),
  ].join("\n");
}
