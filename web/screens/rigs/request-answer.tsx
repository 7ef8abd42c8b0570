/** The planner's side of a request: where it fits without moving anybody, what it costs to fit it in better; accept, offer, or plan later. */
import { useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import type { RequestView } from "../../../src/contract/api/request.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { useQuestion } from "../../client/question.ts";
import type { RequestAct } from "../../client/requests.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { Section } from "../../parts/page.tsx";
import { Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { AskingNote, isWorking } from "../fit/asking-note.tsx";
import { changeRows } from "../fit/change-rows.ts";
import { ChangeTable } from "../fit/change-table.tsx";
import { FitDrawing } from "../fit/fit-drawing.tsx";
import { endOfNextWorkingDay, measures, planWith } from "../fit/fit-model.ts";
import { FitTable } from "../fit/fit-table.tsx";
import { PlaceTable } from "./campaign-preview.tsx";
import { CounterDialog } from "./counter-dialog.tsx";
import type { Place } from "./request-page.tsx";

const w = words.rigs;

type AnswerProps = {
  readonly request: RequestView;
  readonly busy: boolean;
  readonly act: (what: RequestAct, body: object, done: string, revision?: number) => void;
};

export function RequestAnswer({ request, busy, act }: AnswerProps) {
  const time = useSiteTime();
  const view = useQuery(planQuery).data;
  const places = useQuestion("places");
  const rush = useQuestion("rush");
  const [offering, setOffering] = useState<Plan | null>(null);
  const [chosen, setChosen] = useState(0);
  const [peek, setPeek] = useState<number | null>(null);
  const order = request.body;

  const look = useRef(() => void places.ask({ order }).catch(() => undefined));
  useEffect(() => look.current(), []);

  if (!view) return null;
  const problem = view.problem as Problem;
  const draft = view.draft.plan as Plan;
  const machineName = (id: string): string => problem.machines.find((machine) => machine.id === id)?.name ?? id;
  const planFor = (place: Place): Plan => planWith(draft, { changes: place.operations, removed: [] });
  const acceptWith = (plan: Plan | null, revision: number | null): void =>
    act("accept", { plan }, w.acceptedToast, revision ?? view.draft.revision);
  const mayAct = !busy && !places.stale;
  const shown = rush.answer?.answers[peek ?? chosen] ?? rush.answer?.answers[0];

  return (
    <>
      <Section
        title={w.places}
        about={w.placesAbout}
        actions={
          <button
            type="button"
            className="button button-small"
            disabled={busy}
            onClick={() => acceptWith(null, view.draft.revision)}
          >
            {w.acceptUnplanned}
          </button>
        }
      >
        <AskingNote {...places} answered={places.answer !== null} />
        {places.answer && !isWorking(places) ? (
          <PlaceTable
            answer={places.answer}
            nameOf={(machines) => machines.map(machineName).join(" + ")}
            time={time}
            act={(place) => (
              <>
                <button
                  type="button"
                  className="button button-small"
                  disabled={!mayAct}
                  onClick={() => acceptWith(planFor(place), places.draftRevision)}
                >
                  {w.accept}
                </button>
                <button
                  type="button"
                  className="button button-small"
                  disabled={!mayAct}
                  onClick={() => setOffering(planFor(place))}
                >
                  {w.counter}
                </button>
              </>
            )}
          />
        ) : null}
      </Section>
      <Section
        title={w.movers}
        about={w.moversAbout}
        actions={
          <button
            type="button"
            className="button button-small"
            disabled={isWorking(rush)}
            onClick={() => void rush.ask({ order }).catch(() => undefined)}
          >
            {w.askMovers}
          </button>
        }
      >
        {rush.state === "idle" ? null : <AskingNote {...rush} answered={rush.answer !== null} />}
        {rush.answer && shown ? (
          <>
            <FitTable
              answers={rush.answer.answers}
              measures={measures(rush.answer.answers, { problem, time, due: rush.answer.due, before: rush.answer.before })}
              chosen={Math.min(chosen, rush.answer.answers.length - 1)}
              mayAdopt={!busy && !isWorking(rush) && !rush.stale}
              onChoose={setChosen}
              onPeek={setPeek}
              onAdopt={(index) => acceptWith(planWith(draft, rush.answer?.answers[index] as FitAnswer), rush.draftRevision)}
            />
            <FitDrawing rows={changeRows(problem, draft, shown, request.order, order)} problem={problem} time={time} />
            <ChangeTable fit={shown} draft={draft} problem={problem} time={time} />
          </>
        ) : null}
        {rush.answer && rush.answer.answers.length === 0 && !isWorking(rush) ? (
          <Notice kind="warn" title={words.fit.nothingFound}>
            {rush.answer.blocked.slice(0, 3).join(" ")}
          </Notice>
        ) : null}
      </Section>
      {offering ? (
        <CounterDialog
          until={endOfNextWorkingDay(problem, time)}
          onClose={() => setOffering(null)}
          onOffer={(until, note) => {
            act("counter", { plan: offering, until, note }, w.counteredToast, places.draftRevision ?? view.draft.revision);
            setOffering(null);
          }}
        />
      ) : null}
    </>
  );
}
