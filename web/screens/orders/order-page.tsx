/** One order: will it be on time, where does it stand, what does it need - and changing all of it in place. */
import { useQuery, useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate, useParams } from "@tanstack/react-router";
import { useState } from "react";
import { type OrderBody, orderBodySchema } from "../../../src/contract/api/order.ts";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { asProblem } from "../../../src/contract/api/planning-problem.ts";
import { piecesToStart } from "../../../src/core/orders/order.ts";
import type { GoodPieces } from "../../../src/core/track/good-pieces.ts";
import type { Answer } from "../../client/request.ts";
import {
  orderQuery,
  ordersQuery,
  PLANNERS,
  planQuery,
  REQUESTERS,
  useDeleteOrder,
  useMay,
  useSaveOrder,
  useSavePlant,
  useSiteTime,
} from "../../client/shop.ts";
import { EditFrame } from "../../forms/edit-frame.tsx";
import { useEditing } from "../../forms/use-editing.ts";
import { Confirm } from "../../parts/dialog.tsx";
import { type Figure, Page, Section } from "../../parts/page.tsx";
import { errorText, Failure, Loading, Notice, ReadOnlyNote } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { differenceText, durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { WhatWouldHelp } from "../scenarios/what-would-help.tsx";
import { TroubleDialog } from "../trouble/trouble-dialog.tsx";
import type { About } from "../trouble/trouble-draft.ts";
import { keepDraftOrder } from "./draft-order.ts";
import { GoodPiecesNote, goodPiecesOf, lostMostAt } from "./good-pieces-note.tsx";
import { OrderChances } from "./order-chances.tsx";
import { duplicated, nextId, templateOf } from "./order-defaults.ts";
import { OrderDrawing } from "./order-drawing.tsx";
import { OrderForm } from "./order-form.tsx";
import { OrderLog } from "./order-log.tsx";
import { type OrderTimeline, orderTimeline } from "./order-timeline.ts";
import { ReasonChain } from "./reason-chain.tsx";
import { RouteTable } from "./route-table.tsx";

const w = words.orders;

export function OrderPage() {
  const { id } = useParams({ from: "/orders/$id" });
  const answer = useSuspenseQuery(orderQuery(id)).data;
  return <OrderSheet key={id} id={id} answer={answer} />;
}

function OrderSheet({ id, answer }: { readonly id: string; readonly answer: Answer<OrderBody> }) {
  const client = useQueryClient();
  const navigate = useNavigate();
  const time = useSiteTime();
  const mayEdit = useMay(PLANNERS);
  const mayAdd = useMay(REQUESTERS);
  const plan = useQuery(planQuery);
  const save = useSaveOrder();
  const remove = useDeleteOrder();
  const saveRoute = useSavePlant("routes");
  const [asking, setAsking] = useState(false);
  const [trouble, setTrouble] = useState<About | null>(null);
  const readOnly = !mayEdit;
  const editing = useEditing<OrderBody>({
    schema: orderBodySchema,
    answer,
    readOnly,
    what: (order) => `${w.details} ${order.id}`,
    id: () => id,
    send: (change) => save.mutateAsync(change),
    readAgain: () => client.fetchQuery({ ...orderQuery(id), staleTime: 0 }),
  });
  const order = answer.value;
  const timeline = plan.data ? orderTimeline(plan.data, id) : null;
  const pieces = plan.data ? goodPiecesOf(plan.data, id) : null;
  const held = plan.data?.holds.find((hold) => hold.order === id);

  const copy = (): void => {
    const ids = (client.getQueryData(ordersQuery.queryKey) ?? []).map((entry) => entry.id);
    const copied = duplicated(order, nextId([...ids, id]));
    keepDraftOrder({ ...copied, name: order.name ? words.forms.copyOf(order.name) : undefined });
    void navigate({ to: "/add/order" });
  };
  const asTemplate = (): void => {
    const template = templateOf(order, `route-${order.id}`);
    saveRoute.mutate(
      { value: template, id: template.id, revision: null },
      {
        onSuccess: () => toast(words.forms.saved(template.name ?? template.id)),
        onError: (error) => toast(errorText(error).text || errorText(error).title),
      },
    );
  };
  const doRemove = (): void => {
    setAsking(false);
    remove.mutate(
      { id, revision: answer.revision },
      {
        onSuccess: () => {
          toast(words.forms.deleted(`${w.details} ${id}`));
          void navigate({ to: "/orders" });
        },
      },
    );
  };

  const toStart = piecesToStart(order.quantity, order.scrapPerMille);
  const about = [
    w.kinds[order.kind],
    w.pieces(order.quantity),
    toStart === order.quantity ? "" : w.toStart(toStart),
    order.requester ?? "",
  ]
    .filter((part) => part !== "")
    .join(", ");
  return (
    <Page
      title={order.name && order.name !== order.id ? `${order.id} ${order.name}` : order.id}
      about={about}
      back={<Link to="/orders">{words.shell.back(w.title)}</Link>}
      figures={timeline ? [...figures(timeline, time), ...pieceFigures(pieces, order.quantity)] : []}
      actions={
        <>
          {mayAdd && timeline && !timeline.done ? (
            <Link className="button" to="/fit" search={{ order: id }} title={words.fit.linkTitle}>
              {words.fit.link}
            </Link>
          ) : null}
          {mayAdd ? (
            <button type="button" className="button" onClick={copy}>
              {words.forms.duplicate}
            </button>
          ) : null}
          {mayEdit ? (
            <>
              <button type="button" className="button" disabled={!plan.data} onClick={() => setTrouble({ order: id })}>
                {words.trouble.open}
              </button>
              <button type="button" className="button" disabled={saveRoute.isPending} onClick={asTemplate}>
                {w.saveAsTemplate}
              </button>
              <button type="button" className="button button-danger" disabled={remove.isPending} onClick={() => setAsking(true)}>
                {words.forms.deleteIt(w.order)}
              </button>
            </>
          ) : null}
        </>
      }
    >
      {remove.isError ? <Failure error={remove.error} /> : null}
      {readOnly ? <ReadOnlyNote roles={PLANNERS} /> : null}
      {plan.isPending ? (
        <Loading />
      ) : plan.isError && !plan.data ? (
        <Failure error={plan.error} retry={() => void plan.refetch()} />
      ) : null}
      {held ? (
        <Notice
          actions={
            <Link className="button" to="/fit">
              {words.fit.holdsLink}
            </Link>
          }
        >
          {words.fit.heldHere(time.dayTime(held.until), held.heldBy)} {held.note}
        </Notice>
      ) : null}
      {timeline && plan.data ? (
        <>
          {pieces ? (
            <GoodPiecesNote
              pieces={pieces}
              view={plan.data}
              order={id}
              onMakeAgain={mayEdit ? (missing) => setTrouble(scrapped(plan.data, id, missing)) : null}
            />
          ) : null}
          <Standing timeline={timeline} view={plan.data} />
          <ReasonChain timeline={timeline} view={plan.data} />
          {isLate(timeline) ? <WhatWouldHelp order={id} view={plan.data} /> : null}
        </>
      ) : null}
      <OrderChances order={id} />
      <EditFrame editing={editing} readOnly={readOnly} what={w.order}>
        <OrderForm lens={editing.form.root} isNew={false} />
      </EditFrame>
      <OrderLog order={id} />
      {trouble && plan.data ? (
        <TroubleDialog
          problem={asProblem(plan.data.problem)}
          time={time}
          about={trouble}
          toPlace={plan.data.check.conflicts.filter(({ kind }) => kind === "notPlanned").length}
          onClose={() => setTrouble(null)}
        />
      ) : null}
      {asking ? (
        <Confirm
          title={words.forms.deleteTitle(`${w.order} ${id}`)}
          text={words.forms.deleteText}
          act={words.forms.deleteIt(w.order)}
          danger
          keep={words.forms.keep}
          onAct={doRemove}
          onClose={() => setAsking(false)}
        />
      ) : null}
    </Page>
  );
}

function figures(timeline: OrderTimeline, time: ReturnType<typeof useSiteTime>): readonly Figure[] {
  const { order, completion, done } = timeline;
  const late = order.due !== null && completion !== null ? completion - order.due : null;
  return [
    { label: w.columns.due, value: order.due === null ? words.forms.none : time.dueText(order.due), how: null },
    {
      label: w.columns.ends,
      value: completion === null ? w.notPlanned : time.dayTime(completion),
      how: words.how.orders.ends,
    },
    ...(done
      ? [{ label: w.columns.state, value: w.states.done, how: null }]
      : late === null
        ? []
        : [
            {
              label: late > 0 ? w.columns.late : w.spareLabel,
              value: late > 0 ? <span className="late">{differenceText(late)}</span> : durationText(-late),
              how: late > 0 ? words.how.orders.lateBy : words.how.order.spare,
            },
          ]),
  ];
}

function pieceFigures(pieces: GoodPieces | null, quantity: number): readonly Figure[] {
  if (!pieces || pieces.lost === 0) return [];
  const w = words.orders.goodPieces;
  return [{ label: w.label, value: w.figure(Math.min(pieces.good, quantity), quantity), how: words.how.order.goodPieces }];
}

function scrapped(view: PlanView, order: string, pieces: number): About {
  const operation = lostMostAt(view, order);
  return { order, kind: "piecesScrapped", pieces, ...(operation === undefined ? {} : { operation }) };
}

function Standing({ timeline, view }: { readonly timeline: OrderTimeline; readonly view: PlanView }) {
  const unplanned = timeline.rows.filter(({ lots }) => lots.length === 0).length;
  return (
    <Section title={w.route} about={promiseSentence(timeline)}>
      {timeline.conflicts.length > 0 ? (
        <div style={{ marginBottom: 10 }}>
          <Notice kind="bad" title={w.conflictsHere(timeline.conflicts.length)}>
            <ul>
              {timeline.conflicts.map(({ number, sentence }) => (
                <li key={number}>
                  <strong>{number}</strong> {sentence}
                </li>
              ))}
            </ul>
          </Notice>
        </div>
      ) : null}
      {unplanned > 0 ? (
        <div style={{ marginBottom: 10 }}>
          <Notice
            kind="warn"
            title={w.toPlace(unplanned)}
            actions={
              <Link className="button" to="/">
                {words.start.planDone}
              </Link>
            }
          >
            {w.toPlaceHow}
          </Notice>
        </div>
      ) : null}
      <OrderDrawing timeline={timeline} view={view} />
      <RouteTable timeline={timeline} view={view} />
    </Section>
  );
}

const isLate = ({ order, completion, done }: OrderTimeline): boolean =>
  !done && order.due !== null && completion !== null && completion > order.due;

function promiseSentence({ order, completion, done }: OrderTimeline): string {
  if (done) return w.promiseText.done;
  if (completion === null) return w.promiseText.unplanned;
  if (order.due === null) return w.promiseText.noDue;
  return completion > order.due
    ? w.promiseText.late(durationText(completion - order.due))
    : w.promiseText.onTime(durationText(order.due - completion));
}
