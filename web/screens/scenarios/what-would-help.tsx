/**
 * "What would help?" on the page of a late order: asked on demand, ranked by lateness removed per hour added, kept as a scenario on wish.
 * Of an order that is wanted sooner than it can be, late or not (`sooner`): as if it were promised for now, so that every minute counts.
 */
import { useNavigate } from "@tanstack/react-router";
import { useState } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { QuestionAnswer } from "../../../src/contract/api/question.ts";
import { useQuestion } from "../../client/question.ts";
import { useScenarioChanges } from "../../client/scenarios.ts";
import { PLANNERS, useMay, useSiteTime } from "../../client/shop.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Section } from "../../parts/page.tsx";
import { errorText } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { numberText, parseDecimal } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { AskingNote, isWorking } from "../fit/asking-note.tsx";
import { changeText, namesOf } from "./change-text.ts";

const w = words.scenarios.levers;
const { levers: how } = words.how;
const { soonest } = words.fit;

/** As the question takes them. */
const LEAST_DAYS = 0.5;
const MOST_DAYS = 366;

type Answer = QuestionAnswer<"levers">;

type HelpProps = { readonly order: string; readonly view: PlanView; readonly sooner?: boolean };

export function WhatWouldHelp({ order, view, sooner = false }: HelpProps) {
  const mayAsk = useMay(PLANNERS);
  const asking = useQuestion("levers");
  const [days, setDays] = useState("");
  if (!mayAsk) return null;
  const typed = days.trim() === "" ? null : parseDecimal(days);
  const buyDays = typed !== null && typed >= LEAST_DAYS && typed <= MOST_DAYS ? typed : null;
  const refused = days.trim() !== "" && buyDays === null;
  const working = isWorking(asking);
  return (
    <Section title={sooner ? soonest.helps : w.title} about={sooner ? soonest.helpsAbout : w.about}>
      <div className="asked">
        <div className="field">
          <label htmlFor="buy-days">{w.buy}</label>
          <span className="with-unit">
            <input
              id="buy-days"
              inputMode="decimal"
              value={days}
              aria-describedby="buy-hint"
              aria-invalid={refused || undefined}
              onChange={(e) => setDays(e.target.value)}
            />
            {w.buyUnit}
          </span>
          <span className="field-hint" id="buy-hint">
            {w.buyHint}
          </span>
          {refused ? <span className="field-fault">{w.buyRange(numberText(LEAST_DAYS), numberText(MOST_DAYS))}</span> : null}
        </div>
        <button
          type="button"
          className="button"
          disabled={working || refused}
          onClick={() => void asking.ask({ order, buyDays, ...(sooner ? { due: view.problem.now } : {}) }).catch(() => undefined)}
        >
          {asking.answer === null ? w.ask : w.again}
        </button>
        <AskingNote {...asking} answered={asking.answer !== null} />
      </div>
      {asking.answer === null ? null : <Ranked answer={asking.answer} view={view} sooner={sooner} />}
    </Section>
  );
}

type RankedProps = { readonly answer: Answer; readonly view: PlanView; readonly sooner: boolean };

function Ranked({ answer, view, sooner }: RankedProps) {
  const time = useSiteTime();
  const navigate = useNavigate();
  const { add } = useScenarioChanges();
  const names = namesOf(view);
  const { searched, ranked, tried, total, leftOut } = answer;
  const make = (name: string, { change, plan }: Answer["ranked"][number]): void =>
    add.mutate(
      { name: w.scenarioName(answer.order, name), changes: [change], plan },
      {
        onSuccess: (made) => {
          toast(words.scenarios.created(made.name));
          void navigate({ to: "/scenarios/$id", params: { id: made.id } });
        },
        onError: (error) => toast(errorText(error).text || errorText(error).title),
      },
    );
  return (
    <>
      <p>
        {searched === null
          ? null
          : sooner
            ? w.searchedEnds(time.dayTime(searched.finish))
            : w.searched(
                time.dayTime(searched.finish),
                searched.late > 0 ? w.lateBy(durationText(searched.late)) : w.inTime,
              )}{" "}
        <span className="quiet">{[w.tried(tried, total), leftOut > 0 ? w.leftOut(leftOut) : ""].filter(Boolean).join("; ")}</span>
      </p>
      {ranked.length === 0 ? (
        <p>{searched !== null && searched.late === 0 ? w.nothingNeeded : sooner ? w.nothingSooner : w.nothing}</p>
      ) : (
        <div className="table-frame">
          <table className="table">
            <thead>
              <tr>
                <th scope="col">{w.columns.what}</th>
                <HeadCell label={w.columns.ends} how={how.ends} />
                <HeadCell label={sooner ? w.columns.sooner : w.columns.removed} how={how.removed} number />
                <HeadCell label={w.columns.added} how={how.added} number />
                <HeadCell label={w.columns.perHour} how={how.perHour} number />
                <HeadCell label={w.columns.others} how={how.others} />
                <th scope="col" />
              </tr>
            </thead>
            <tbody>
              {ranked.map((each) => {
                const text = changeText(each.change, names, time);
                return (
                  <tr key={text}>
                    <td>{text}</td>
                    <td className="nowrap">
                      {time.dayTime(each.finish)}
                      {sooner ? null : each.late > 0 ? (
                        <span className="late"> +{durationText(each.late)}</span>
                      ) : (
                        `, ${w.inTime}`
                      )}
                    </td>
                    <td className="number strong">{durationText(each.removed)}</td>
                    <td className="number">{each.added === 0 ? w.noHours : durationText(each.added)}</td>
                    <td className="number">{each.perHour === null ? "–" : durationText(Math.round(each.perHour))}</td>
                    <td>
                      {each.others === 0
                        ? w.othersSame
                        : each.others > 0
                          ? w.othersLater(numberText(Math.round(each.others / 60)))
                          : w.othersEarlier(numberText(Math.round(-each.others / 60)))}
                    </td>
                    <td>
                      <button
                        type="button"
                        className="button button-small"
                        aria-label={w.makeOf(text)}
                        disabled={add.isPending}
                        onClick={() => make(text, each)}
                      >
                        {w.make}
                      </button>
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      )}
    </>
  );
}
