/** The site: name and zone, freeze and horizon, and the weights of what makes a plan better. */
import { useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import type { z } from "zod";
import { type SiteInput, type SiteView, siteInputSchema } from "../../../src/contract/api/site.ts";
import { COST_PARTS, DEFAULT_WEIGHTS } from "../../../src/core/problem/objective.ts";
import type { Answer } from "../../client/request.ts";
import { PLANNERS, siteQuery, useMay, useSaveSite } from "../../client/shop.ts";
import { CheckField } from "../../forms/choice-fields.tsx";
import { EditFrame } from "../../forms/edit-frame.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { NumberField, OptionalScaledField, TextField } from "../../forms/text-fields.tsx";
import { useEditing } from "../../forms/use-editing.ts";
import { Page, Section } from "../../parts/page.tsx";
import { ReadOnlyNote } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { siteInputOf } from "./site-input.ts";

const w = words.setup;

const ZONES: readonly string[] = Intl.supportedValuesOf("timeZone");

export function SitePage() {
  const answer = useSuspenseQuery(siteQuery).data;
  return <SiteSheet answer={answer} />;
}

const inputAnswers = new WeakMap<Answer<SiteView>, Answer<SiteInput>>();

/** The same answer object for the same reading, so that the form knows when something new came in. */
function inputAnswer(answer: Answer<SiteView>): Answer<SiteInput> {
  const known = inputAnswers.get(answer);
  if (known) return known;
  const made = { value: siteInputOf(answer.value), revision: answer.revision };
  inputAnswers.set(answer, made);
  return made;
}

function SiteSheet({ answer }: { readonly answer: Answer<SiteView> }) {
  const client = useQueryClient();
  const mayEdit = useMay(PLANNERS);
  const save = useSaveSite();
  const editing = useEditing<SiteInput>({
    schema: siteInputSchema as z.ZodType<SiteInput>,
    answer: inputAnswer(answer),
    readOnly: !mayEdit,
    what: () => w.site,
    id: () => "",
    send: ({ value, revision }) => save.mutateAsync({ value, revision }),
    readAgain: async () => inputAnswer(await client.fetchQuery({ ...siteQuery, staleTime: 0 })),
  });
  const { root } = editing.form;
  const weights = at(root, "weights");
  return (
    <Page narrow title={w.siteTitle} about={w.siteAbout} back={<Link to="/setup">{words.shell.back(w.title)}</Link>}>
      {mayEdit ? null : <ReadOnlyNote roles={PLANNERS} />}
      <EditFrame editing={editing} readOnly={!mayEdit} what={w.site}>
        <Section title={w.site}>
          <div className="fields">
            <TextField label={w.siteName} lens={at(root, "name")} width="two" />
            <TextField label={w.zone} lens={at(root, "zone")} suggestions={ZONES} />
            <OptionalScaledField
              label={w.freezeHours}
              help="freeze"
              hint={w.freezeHint}
              unit={w.hoursUnit}
              scale={1}
              empty={null}
              lens={at(root, "freezeHours")}
            />
            <NumberField label={w.horizonDays} help="horizon" unit={w.daysUnit} lens={at(root, "horizonDays")} />
          </div>
          <CheckField label={w.followsPlan} help="followsPlan" lens={at(root, "followsPlan") as Lens<boolean>} />
        </Section>
        <Section
          title={w.weights}
          actions={
            mayEdit ? (
              <button type="button" className="button button-small" onClick={() => weights.set({ ...DEFAULT_WEIGHTS })}>
                {w.weightsReset}
              </button>
            ) : null
          }
        >
          <p className="quiet" style={{ maxWidth: "78ch", marginBottom: 8 }}>
            {w.weightsAbout}
          </p>
          <table className="table table-inputs weights">
            <tbody>
              {COST_PARTS.map((part) => {
                const [name, about] = w.weightNames[part] ?? [part, ""];
                return (
                  <tr key={part}>
                    <th scope="row">{name}</th>
                    <td className="quiet">{about}</td>
                    <td style={{ width: 150 }}>
                      <NumberField bare label={name} lens={at(weights, part)} />
                    </td>
                    <td className="quiet nowrap">{w.weightUsual(DEFAULT_WEIGHTS[part])}</td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </Section>
      </EditFrame>
    </Page>
  );
}
