/** An order as a form: what was promised, its operations, its links. Used for new and existing orders alike. */
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import type { OrderBody } from "../../../src/contract/api/order.ts";
import { piecesToStart } from "../../../src/core/orders/order.ts";
import { plantQuery } from "../../client/shop.ts";
import { ChoiceField } from "../../forms/choice-fields.tsx";
import { appended, at, type Lens } from "../../forms/lens.ts";
import { NumberField, ScaledField, TextField } from "../../forms/text-fields.tsx";
import { MomentField } from "../../forms/time-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { words } from "../../words/words.ts";
import { KitSpanSection, LinkSection } from "./link-form.tsx";
import { OperationList } from "./operation-form.tsx";
import { newMode, newOperation, nextOperationId, renumbered, withTemplate } from "./order-defaults.ts";

const w = words.orders;
const f = w.fields;
const KINDS = (["production", "prototype", "campaign", "maintenance"] as const).map((value) => ({
  value,
  label: w.kinds[value],
}));

export function OrderForm({ lens, isNew }: { readonly lens: Lens<OrderBody>; readonly isNew: boolean }) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const crews = useQuery(plantQuery("crews")).data ?? [];
  const [open, setOpen] = useState<string | null>(null);
  const order = lens.value;
  const operations = at(lens, "operations");
  const { readOnly } = lens.form;
  const toStart =
    order.quantity > 0 && order.scrapPerMille > 0 && order.scrapPerMille < 1000
      ? piecesToStart(order.quantity, order.scrapPerMille)
      : null;

  const addOperation = (): void => {
    const id = nextOperationId(order.id, order.operations);
    const machine = machines[0]?.id;
    setOpen(id);
    operations.set(
      appended(
        order.operations,
        newOperation(id, newMode(machine ?? "bench", machine === undefined ? [] : [machine], crews[0]?.skills[0])),
      ),
    );
  };

  return (
    <>
      <Section title={w.details}>
        <div className="fields">
          {isNew ? (
            <TextField
              label={words.forms.id}
              lens={{ ...at(lens, "id"), set: (id: string) => lens.set(renumbered(order, id)) }}
            />
          ) : null}
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <ChoiceField label={f.kind} lens={at(lens, "kind")} choices={KINDS} />
          <NumberField label={f.quantity} lens={at(lens, "quantity")} hint={toStart === null ? undefined : w.toStart(toStart)} />
          <ScaledField label={f.scrap} help="scrap" unit="%" scale={10} lens={at(lens, "scrapPerMille")} />
          <TextField label={f.requester} lens={at(lens, "requester")} empty={null} />
          <MomentField label={f.release} help="release" lens={at(lens, "release")} hint={w.hintDate} />
          <MomentField label={f.due} help="due" lens={at(lens, "due")} empty={null} hint={w.hintEmptyDue} />
          <MomentField label={f.deadline} help="deadline" lens={at(lens, "deadline")} empty={null} hint={w.hintHard} />
          <NumberField label={f.weight} help="weight" lens={at(lens, "weight")} />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Section title={w.operations} actions={readOnly ? null : <TemplatePicker lens={lens} />}>
        <OperationList lens={operations} open={open} />
        {readOnly ? null : (
          <div className="row" style={{ marginTop: 10 }}>
            <button type="button" className="button" onClick={addOperation}>
              + {w.addOperation}
            </button>
          </div>
        )}
      </Section>
      <LinkSection route={order} lens={at(lens, "links")} />
      <KitSpanSection lens={lens} />
    </>
  );
}

function TemplatePicker({ lens }: { readonly lens: Lens<OrderBody> }) {
  const templates = useQuery(plantQuery("routes")).data ?? [];
  const [chosen, setChosen] = useState("");
  const template = templates.find(({ id }) => id === chosen) ?? templates[0];
  if (!template) return <span className="quiet">{w.noTemplates}</span>;
  return (
    <>
      <select
        aria-label={w.chooseTemplate}
        style={{ width: "auto" }}
        value={template.id}
        onChange={(e) => setChosen(e.target.value)}
      >
        {templates.map(({ id, name }) => (
          <option key={id} value={id}>
            {name || id}
          </option>
        ))}
      </select>
      <button
        type="button"
        className="button"
        title={w.fromTemplate}
        onClick={() => lens.set(withTemplate(lens.value, template))}
      >
        {w.copyIn}
      </button>
    </>
  );
}
