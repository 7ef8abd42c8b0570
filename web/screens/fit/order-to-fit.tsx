/** The new order that somebody asks for: the few things a caller says, and behind a button all the rest. */
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import type { OrderBody } from "../../../src/contract/api/order.ts";
import { plantQuery } from "../../client/shop.ts";
import { at, type Lens } from "../../forms/lens.ts";
import { NumberField, TextField } from "../../forms/text-fields.tsx";
import { MomentField } from "../../forms/time-fields.tsx";
import { words } from "../../words/words.ts";
import { renumbered, withTemplate } from "../orders/order-defaults.ts";
import { OrderForm } from "../orders/order-form.tsx";

const w = words.fit;
const OWN = "";

export function OrderToFit({ lens }: { readonly lens: Lens<OrderBody> }) {
  const templates = useQuery(plantQuery("routes")).data ?? [];
  const [all, setAll] = useState(false);
  const [route, setRoute] = useState(OWN);
  const order = lens.value;
  const choose = (id: string): void => {
    setRoute(id);
    const template = templates.find((one) => one.id === id);
    if (!template) return;
    const bare = { ...order, operations: [], links: [], kitSpans: [] };
    lens.set(withTemplate({ ...bare, name: order.name || template.name || template.id }, template));
  };
  const f = words.orders.fields;
  return (
    <>
      {all ? (
        <OrderForm lens={lens} isNew />
      ) : (
        <div className="fields">
          <div className="field field-two">
            <label className="label" htmlFor="fit-route">
              {w.template}
            </label>
            <select id="fit-route" value={route} onChange={(event) => choose(event.target.value)}>
              <option value={OWN}>{order.operations.length > 0 ? w.ownRoute : w.chooseTemplate}</option>
              {templates.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name || id}
                </option>
              ))}
            </select>
            <span className="field-hint">{order.operations.length > 0 ? w.routeOf(order.operations.length) : w.noRoute}</span>
          </div>
          <NumberField label={f.quantity} lens={at(lens, "quantity")} />
          <MomentField label={f.due} help="due" lens={at(lens, "due")} empty={null} hint={words.orders.hintEmptyDue} />
          <TextField label={words.forms.id} lens={{ ...at(lens, "id"), set: (id: string) => lens.set(renumbered(order, id)) }} />
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <TextField label={f.requester} lens={at(lens, "requester")} empty={null} />
          <NumberField label={f.weight} help="weight" lens={at(lens, "weight")} />
        </div>
      )}
      <button type="button" className="button button-plain" aria-expanded={all} onClick={() => setAll(!all)}>
        {all ? w.fewFields : w.allFields}
      </button>
    </>
  );
}
