/** Links of an order and kits held over several of its operations. */
import { useQuery } from "@tanstack/react-query";
import type { OrderBody } from "../../../src/contract/api/order.ts";
import type { LinkInFile } from "../../../src/contract/file/link-schema.ts";
import { plantQuery } from "../../client/shop.ts";
import { type Choice, ChoiceField } from "../../forms/choice-fields.tsx";
import { appended, at, items, type Lens } from "../../forms/lens.ts";
import { RowButtons, Rows } from "../../forms/rows.tsx";
import { DurationField, NumberField, OptionalDurationField } from "../../forms/text-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { FieldHelp } from "../../parts/term.tsx";
import { words } from "../../words/words.ts";
import { chained, newLink } from "./order-defaults.ts";

const w = words.orders;
const f = w.fields;
const KINDS = (["lag", "sameMachine", "transfer"] as const).map((value) => ({ value, label: w.linkKinds[value] }));

/** What an order and a route template have in common. */
type Route = Pick<OrderBody, "id" | "operations" | "links">;

function operationChoices(route: Route, links: readonly LinkInFile[]): readonly Choice<string>[] {
  const own = route.operations.map(({ id, name }) => ({ value: id, label: name ? `${id} ${name}` : id }));
  const known = new Set(own.map(({ value }) => value));
  // Operations of other orders stay choosable as they are written.
  const foreign = [...new Set(links.flatMap(({ from, to }) => [from, to]))].filter((id) => id !== "" && !known.has(id));
  return [...own, ...foreign.map((id) => ({ value: id, label: id }))];
}

function withKind(link: LinkInFile, kind: LinkInFile["kind"]): LinkInFile {
  const { id, from, to } = link;
  switch (kind) {
    case "lag":
      return { kind, id, from, to, minLag: 0, maxLag: null };
    case "sameMachine":
      return { kind, id, from, to };
    case "transfer":
      return { kind, id, from, to, pieces: 1 };
  }
}

export function LinkSection({ route, lens }: { readonly route: Route; readonly lens: Lens<LinkInFile[]> }) {
  const choices = operationChoices(route, lens.value);
  const { readOnly } = lens.form;
  if (route.operations.length < 2 && lens.value.length === 0) return null;
  return (
    <Section
      title={w.links}
      about={w.linksAbout}
      actions={
        readOnly || route.operations.length < 2 ? null : (
          <button
            type="button"
            className="button button-small"
            onClick={() => lens.set(chained({ ...EMPTY, ...route, links: lens.value }))}
          >
            {w.chain}
          </button>
        )
      }
    >
      {lens.value.length === 0 ? null : (
        <div className="table-frame">
          <table className="link-table">
            <thead>
              <tr>
                <th scope="col">{f.from}</th>
                <th scope="col">{f.linkKind}</th>
                <th scope="col">{f.to}</th>
                <th scope="col">
                  {f.minLag}
                  <FieldHelp of="minLag" />
                </th>
                <th scope="col">
                  {f.maxLag}
                  <FieldHelp of="maxLag" />
                </th>
                <th>
                  <span className="out-of-sight">{words.forms.remove(w.link)}</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {items(lens).map((entry, i) => (
                <tr key={entry.path}>
                  <LinkFields lens={entry} choices={choices} />
                  <td>{readOnly ? null : <RowButtons lens={lens} index={i} what={w.link} ordered={false} />}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {readOnly ? null : (
        <div className="row" style={{ marginTop: 6 }}>
          <button
            type="button"
            className="button button-small"
            onClick={() => lens.set(appended(lens.value, newLink({ ...EMPTY, ...route, links: lens.value })))}
          >
            + {w.addLink}
          </button>
        </div>
      )}
    </Section>
  );
}

const EMPTY: OrderBody = {
  id: "",
  kind: "production",
  quantity: 1,
  scrapPerMille: 0,
  release: 0,
  due: null,
  deadline: null,
  weight: 1,
  requester: null,
  operations: [],
  links: [],
  kitSpans: [],
};

function LinkFields({ lens, choices }: { readonly lens: Lens<LinkInFile>; readonly choices: readonly Choice<string>[] }) {
  const link = lens.value;
  const part = <T,>(key: string, value: T, set: (next: T) => LinkInFile): Lens<T> => ({
    form: lens.form,
    path: `${lens.path}/${key}`,
    value,
    set: (next) => lens.set(set(next)),
  });
  return (
    <>
      <td>
        <ChoiceField bare label={f.from} lens={part("from", link.from, (from) => ({ ...link, from }))} choices={choices} />
      </td>
      <td>
        <ChoiceField bare label={f.linkKind} lens={part("kind", link.kind, (kind) => withKind(link, kind))} choices={KINDS} />
      </td>
      <td>
        <ChoiceField bare label={f.to} lens={part("to", link.to, (to) => ({ ...link, to }))} choices={choices} />
      </td>
      <td>
        {link.kind === "lag" ? (
          <DurationField bare label={f.minLag} lens={part("minLag", link.minLag, (minLag) => ({ ...link, minLag }))} />
        ) : null}
        {link.kind === "transfer" ? (
          <NumberField
            bare
            label={f.transferPieces}
            unit={f.transferPieces}
            lens={part("pieces", link.pieces, (pieces) => ({ ...link, pieces }))}
          />
        ) : null}
      </td>
      <td>
        {link.kind === "lag" ? (
          <OptionalDurationField bare label={f.maxLag} lens={part("maxLag", link.maxLag, (maxLag) => ({ ...link, maxLag }))} />
        ) : null}
      </td>
    </>
  );
}

export function KitSpanSection({ lens }: { readonly lens: Lens<OrderBody> }) {
  const kits = useQuery(plantQuery("kits")).data ?? [];
  const spans = at(lens, "kitSpans");
  const choices = operationChoices(
    lens.value,
    spans.value.map(({ from, to }) => ({ kind: "sameMachine", id: "", from, to })),
  );
  if (kits.length === 0 && spans.value.length === 0) return null;
  const fresh = () => ({
    id: `${lens.value.id}-kit-${spans.value.length + 1}`,
    kit: kits[0]?.id ?? "",
    count: 1,
    from: lens.value.operations[0]?.id ?? "",
    to: lens.value.operations.at(-1)?.id ?? "",
  });
  return (
    <Section title={w.kitSpans}>
      <Rows lens={spans} what={w.kitSpan} add={w.addKitSpan} fresh={fresh}>
        {(span) => (
          <>
            <ChoiceField
              label={f.kit}
              help="kit"
              lens={at(span, "kit")}
              choices={kits.map(({ id, name }) => ({ value: id, label: name || id }))}
            />
            <NumberField label={f.count} lens={at(span, "count")} />
            <ChoiceField label={f.from} lens={at(span, "from")} choices={choices} />
            <ChoiceField label={f.to} lens={at(span, "to")} choices={choices} />
          </>
        )}
      </Rows>
    </Section>
  );
}
