/** A new order: blank, or the copy of another one. As it is written it can be fitted in before anything is saved. */
import { Link, useNavigate } from "@tanstack/react-router";
import { useState } from "react";
import { type OrderBody, orderBodySchema } from "../../../src/contract/api/order.ts";
import { useTakenNumbers } from "../../client/requests.ts";
import { REQUESTERS, useMay, useSaveOrder, useSession, useSiteTime } from "../../client/shop.ts";
import { EditFrame } from "../../forms/edit-frame.tsx";
import { useEditing } from "../../forms/use-editing.ts";
import { Page } from "../../parts/page.tsx";
import { NoRights } from "../../parts/states.tsx";
import { dateFromToday } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { keepAnswers } from "../fit/kept-answers.ts";
import { keepDraftOrder, takeDraftOrder } from "./draft-order.ts";
import { newOrder, nextId } from "./order-defaults.ts";
import { OrderForm } from "./order-form.tsx";

const w = words.orders;

export function NewOrder() {
  const taken = useTakenNumbers();
  const time = useSiteTime();
  const mayAdd = useMay(REQUESTERS);
  const navigate = useNavigate();
  const save = useSaveOrder();
  const { user } = useSession();
  // Whoever asks for an order wants to find it again: it is theirs unless they write another name.
  const requester = user?.role === "requester" ? user.name : null;
  const [answer] = useState(() => ({
    value: takeDraftOrder() ?? { ...newOrder(nextId(taken), dateFromToday(time, 0)), requester },
    revision: null,
  }));
  const editing = useEditing<OrderBody>({
    schema: orderBodySchema,
    answer,
    readOnly: !mayAdd,
    what: (order) => `${w.details} ${order.id}`,
    id: (order) => order.id,
    send: (change) => save.mutateAsync(change),
    readAgain: () => Promise.resolve(answer),
    saved: (order) => void navigate({ to: "/orders/$id", params: { id: order.id } }),
  });
  // Nothing is lost: the form goes along.
  const fitIn = (): void => {
    keepAnswers(null);
    keepDraftOrder(editing.form.root.value);
    void navigate({ to: "/fit", ignoreBlocker: true });
  };
  return (
    <Page
      title={w.newOrder}
      back={<Link to="/orders">{words.shell.back(w.title)}</Link>}
      actions={
        mayAdd ? (
          <button type="button" className="button" title={words.fit.unsavedTitle} onClick={fitIn}>
            {words.fit.link}
          </button>
        ) : null
      }
    >
      {mayAdd ? (
        <EditFrame editing={editing} readOnly={false} isNew what={w.order}>
          <OrderForm lens={editing.form.root} isNew />
        </EditFrame>
      ) : (
        <NoRights roles={REQUESTERS} />
      )}
    </Page>
  );
}
