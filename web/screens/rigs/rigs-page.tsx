/** Rigs: what is free, found as the page opens for a night on any rig; and the requests for rig time. */
import { useQuery } from "@tanstack/react-query";
import { Link, useNavigate } from "@tanstack/react-router";
import { useEffect, useRef } from "react";
import { type FreeWindowView, type WindowWishInput, windowWishSchema } from "../../../src/contract/api/questions/free-windows.ts";
import { localText } from "../../../src/core/calendar/wall-clock.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { useQuestion } from "../../client/question.ts";
import { planQuery, REQUESTERS, useMay, useSiteTime } from "../../client/shop.ts";
import { useForm } from "../../forms/use-form.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Failure, Loading } from "../../parts/states.tsx";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { AskingNote, isWorking } from "../fit/asking-note.tsx";
import "../fit/fit.css";
import { keepDraftCampaign } from "./draft-campaign.ts";
import { FinderForm } from "./finder-form.tsx";
import { RequestList } from "./request-list.tsx";
import "./rigs.css";
import { BetterWindows, WindowCards, WithoutWindows } from "./window-cards.tsx";
import { WindowDrawing } from "./window-drawing.tsx";

const w = words.rigs;
const A_NIGHT: WindowWishInput = windowWishSchema.parse({ minutes: 600, unattended: true });

export function RigsPage() {
  const time = useSiteTime();
  const plan = useQuery(planQuery);
  const mayAsk = useMay(REQUESTERS);
  const navigate = useNavigate();
  const form = useForm<WindowWishInput>(windowWishSchema, A_NIGHT);
  const question = useQuestion("freeWindows");
  const { answer } = question;
  const asked = useRef(A_NIGHT);

  const find = (): void =>
    form.submit((wish) => {
      asked.current = wish;
      void question.ask(wish).catch(() => undefined);
    });
  const first = useRef(find);
  useEffect(() => first.current(), []);

  const askFor = (window: FreeWindowView): void => {
    const wish = asked.current;
    keepDraftCampaign({
      rigs: [window.machine],
      needs: wish.needs,
      draws: wish.draws,
      calibrations: wish.calibrations,
      unattended: wish.unattended,
      work: { kind: "minutes", minutes: wish.minutes },
      sessionMost: Math.max(480, wish.minutes),
      earliest: localText(time.clock, window.start),
      ...(wish.skill === null ? {} : { skill: wish.skill }),
    });
    void navigate({ to: "/campaign" });
  };

  return (
    <Page
      title={w.title}
      about={w.about}
      actions={
        mayAsk ? (
          <Link className="button button-main" to="/campaign">
            {w.newCampaign}
          </Link>
        ) : null
      }
    >
      <Section title={w.finder} about={w.finderAbout}>
        <form
          className="stack"
          onSubmit={(e) => {
            e.preventDefault();
            find();
          }}
        >
          <FinderForm lens={form.root} />
          <div className="row">
            <button type="submit" className="button button-main" disabled={isWorking(question)}>
              {w.find}
            </button>
            <span className="quiet">{w.caution}</span>
          </div>
        </form>
        <AskingNote {...question} answered={answer !== null} />
        {plan.isPending ? <Loading /> : null}
        {plan.isError && !plan.data ? <Failure error={plan.error} retry={() => void plan.refetch()} /> : null}
        {answer && plan.data ? (
          <div className="stack window-answers">
            <h3>{w.answers(answer.windows.length, durationText(answer.minutes))}</h3>
            {answer.windows.length > 0 ? (
              <>
                <WindowDrawing
                  answer={answer}
                  problem={plan.data.problem as Problem}
                  plan={plan.data.draft.plan as Plan}
                  time={time}
                />
                <WindowCards answer={answer} problem={plan.data.problem as Problem} time={time} onAsk={mayAsk ? askFor : null} />
              </>
            ) : null}
            <BetterWindows answer={answer} time={time} />
            <WithoutWindows answer={answer} />
          </div>
        ) : null}
      </Section>
      <RequestList />
    </Page>
  );
}
