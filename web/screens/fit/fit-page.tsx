/**
 * "Fit it in": an order between the others. Ways to do it side by side, drawn before anything is changed, adopted in one step and
 * taken back by one undo; and a date to promise with its assumptions, whose slot can be held until a moment.
 */
import { useQuery, useSuspenseQuery } from "@tanstack/react-query";
import { Link, useSearch } from "@tanstack/react-router";
import { useState } from "react";
import type { HoldInput } from "../../../src/contract/api/hold.ts";
import { type OrderBody, orderBodySchema } from "../../../src/contract/api/order.ts";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { localText } from "../../../src/core/calendar/wall-clock.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { errorOf } from "../../client/api-problem.ts";
import { useHoldSlot } from "../../client/holds.ts";
import { useQuestion } from "../../client/question.ts";
import { useTakenNumbers } from "../../client/requests.ts";
import { orderQuery, PLANNERS, planQuery, REQUESTERS, useMay, useSiteTime } from "../../client/shop.ts";
import { useForm } from "../../forms/use-form.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Failure, Loading, NoRights, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { dateFromToday } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { takeDraftOrder } from "../orders/draft-order.ts";
import { newOrder, nextId } from "../orders/order-defaults.ts";
import { WhatWouldHelp } from "../scenarios/what-would-help.tsx";
import { AskingNote, isWorking } from "./asking-note.tsx";
import "./fit.css";
import { FitAnswers } from "./fit-answers.tsx";
import { planWith } from "./fit-model.ts";
import { keyOf } from "./fit-table.tsx";
import { HeldSlots } from "./held-slots.tsx";
import { type KeptAnswers, keepAnswers, keptAnswers } from "./kept-answers.ts";
import { OrderToFit } from "./order-to-fit.tsx";
import { type HoldWish, PromisePart } from "./promise-part.tsx";
import { useAdopt } from "./use-adopt.ts";

const w = words.fit;

export function FitPage() {
  const { order } = useSearch({ from: "/fit" });
  const mayAsk = useMay(REQUESTERS);
  if (!mayAsk)
    return (
      <Page title={w.title}>
        <NoRights roles={REQUESTERS} />
      </Page>
    );
  return order === undefined ? <NewOrderFit /> : <KnownOrderFit key={order} id={order} />;
}

function NewOrderFit() {
  const taken = useTakenNumbers();
  const time = useSiteTime();
  const [initial] = useState(() => takeDraftOrder() ?? keptNew() ?? newOrder(nextId(taken), dateFromToday(time, 0)));
  const form = useForm<OrderBody>(orderBodySchema, initial);
  return (
    <FitSheet
      about={w.whatNew}
      order={form.root.value}
      isNew
      submit={form.submit}
      head={
        <>
          <OrderToFit lens={form.root} />
          {form.submitted && form.faults.length > 0 ? (
            <Notice kind="bad" title={words.forms.faultsTitle(form.faults.length)}>
              <ul>
                {form.faults.slice(0, 6).map(({ pointer, message }) => (
                  <li key={pointer + message}>
                    {pointer.slice(1)}: {message}
                  </li>
                ))}
              </ul>
            </Notice>
          ) : null}
        </>
      }
    />
  );
}

function KnownOrderFit({ id }: { readonly id: string }) {
  const { value } = useSuspenseQuery(orderQuery(id)).data;
  return (
    <FitSheet
      about={w.whatOld}
      order={value}
      isNew={false}
      submit={(use) => use(value)}
      head={
        <p>
          <Link to="/orders/$id" params={{ id }}>
            {id} {value.name && value.name !== id ? value.name : ""}
          </Link>
          , {words.orders.pieces(value.quantity)}, {w.routeOf(value.operations.length)}
        </p>
      }
    />
  );
}

type SheetProps = {
  readonly about: string;
  readonly order: OrderBody;
  readonly isNew: boolean;
  readonly submit: (use: (order: OrderBody) => void) => void;
  readonly head: React.ReactNode;
};

function keptNew(): OrderBody | null {
  const kept = keptAnswers();
  return kept?.isNew ? kept.order : null;
}

/** What is kept of the same question: the order of the book that is asked for, or a new one as it was written. */
function keptFor(order: OrderBody, isNew: boolean): KeptAnswers | null {
  const kept = keptAnswers();
  return kept !== null && kept.isNew === isNew && kept.order.id === order.id ? kept : null;
}

function FitSheet({ about, order, isNew, submit, head }: SheetProps) {
  const time = useSiteTime();
  const plan = useQuery(planQuery);
  const mayPlan = useMay(PLANNERS);
  const rush = useQuestion("rush");
  const promise = useQuestion("promise");
  const hold = useHoldSlot();
  const { adopted, refusal, refuse, forget, adopt, undo } = useAdopt();
  // Back from the board: what was asked and answered is still here.
  const [kept, setKept] = useState(() => keptFor(order, isNew));
  const [asked, setAsked] = useState<OrderBody | null>(kept?.order ?? null);
  const [chosen, setChosen] = useState<string | null>(kept?.chosen ?? null);
  const [peek, setPeek] = useState<number | null>(null);
  const ready = order.operations.length > 0;

  const ask = (which: "rush" | "promise"): void =>
    submit((valid) => {
      setAsked(valid);
      forget();
      if (which === "rush") {
        setKept(null);
        keepAnswers(null);
      }
      const input = { order: isNew ? valid : valid.id };
      void (which === "rush" ? rush.ask(input) : promise.ask(input)).catch(() => undefined);
    });
  const holdSlot = (view: PlanView, { date, promised, until, note }: HoldWish, of: OrderBody): void => {
    refuse(null);
    hold.mutate(
      {
        input: {
          order: isNew ? { ...of, due: promised === null ? of.due : localText(time.clock, promised) } : of.id,
          plan: planWith(view.draft.plan as Plan, date.fit) as HoldInput["plan"],
          until,
          note,
          purpose: "promise",
        },
        revision: promise.draftRevision ?? view.draft.revision,
      },
      { onSuccess: () => toast(w.held(of.id, time.dayTime(until))), onError: (error) => refuse(errorOf(error)) },
    );
  };
  const answers = rush.answer ?? kept?.rush ?? null;
  const answeredFor = rush.answer === null ? (kept?.draftRevision ?? null) : rush.draftRevision;
  const stale = rush.answer === null ? answeredFor !== null && answeredFor !== plan.data?.draft.revision : rush.stale;
  const settled = !isWorking(rush) && !stale && adopted === null;

  return (
    <Page title={w.title} about={w.about} back={<Link to="/">{words.shell.back(words.shell.nav.board)}</Link>}>
      <Section title={w.what} about={about}>
        {head}
        <div className="row fit-ask">
          {mayPlan ? (
            <button type="button" className="button button-main" disabled={!ready || isWorking(rush)} onClick={() => ask("rush")}>
              {w.ask}
            </button>
          ) : null}
          <button
            type="button"
            className={mayPlan ? "button" : "button button-main"}
            disabled={!ready || isWorking(promise)}
            onClick={() => ask("promise")}
          >
            {w.askPromise}
          </button>
        </div>
      </Section>
      {plan.isError && !plan.data ? <Failure error={plan.error} retry={() => void plan.refetch()} /> : null}
      {plan.isPending ? <Loading /> : null}
      {refusal ? <Failure error={refusal} /> : null}
      {adopted ? (
        <Notice
          title={`${w.adopted(adopted.order)}: ${adopted.label}, ${time.dayTime(adopted.finish)}.`}
          actions={
            <span className="row">
              <button type="button" className="button" onClick={() => void undo(adopted)}>
                {w.undo}
              </button>
              <Link className="button" to="/">
                {w.showBoard}
              </Link>
              <Link className="button" to="/orders/$id" params={{ id: adopted.order }}>
                {w.openOrder}
              </Link>
            </span>
          }
        >
          {w.adoptedText}
        </Notice>
      ) : null}
      {rush.state === "idle" && kept === null ? null : (
        <Section title={w.answers} about={w.answersAbout}>
          <AskingNote {...rush} stale={stale && adopted === null} answered={answers !== null} />
          {answers && plan.data && asked ? (
            <FitAnswers
              view={plan.data}
              order={isNew ? asked : null}
              rush={answers}
              chosenKey={chosen}
              peek={peek}
              over={!isWorking(rush)}
              mayAdopt={mayPlan && settled}
              onChoose={setChosen}
              onPeek={setPeek}
              onAdopt={(fit) =>
                plan.data &&
                void adopt({
                  ...{ view: plan.data, fit, order: asked, isNew },
                  revision: answeredFor ?? plan.data.draft.revision,
                })
              }
              onBoard={(fit) => {
                if (settled && answeredFor !== null)
                  keepAnswers({ order: asked, isNew, rush: answers, draftRevision: answeredFor, chosen: keyOf(fit) });
              }}
              mayLook={settled && answeredFor !== null}
            />
          ) : null}
        </Section>
      )}
      {mayPlan && !isNew && plan.data && answers !== null && answers.soonest !== null && !isWorking(rush) ? (
        <WhatWouldHelp order={order.id} view={plan.data} sooner />
      ) : null}
      {promise.state === "idle" ? null : (
        <Section title={w.promise} about={w.promiseAbout}>
          <AskingNote {...promise} stale={promise.stale && !hold.isSuccess} answered={promise.answer !== null} />
          {promise.answer && plan.data && asked && !isWorking(promise) ? (
            <PromisePart
              answer={promise.answer}
              problem={plan.data.problem as Problem}
              time={time}
              what={`${words.orders.details} ${asked.id}${asked.name && asked.name !== asked.id ? ` ${asked.name}` : ""}`}
              pieces={words.orders.pieces(asked.quantity)}
              isNew={isNew}
              holding={hold.isPending}
              onHold={mayPlan && !promise.stale ? (wish) => plan.data && holdSlot(plan.data, wish, asked) : null}
            />
          ) : null}
        </Section>
      )}
      <HeldSlots time={time} />
    </Page>
  );
}
