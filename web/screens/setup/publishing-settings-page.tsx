/** Who may publish, and the checklists of work that needs care: proposed from the plant until the shop writes its own. */
import { useQuery, useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useMemo } from "react";
import type { z } from "zod";
import { cautionRuleSchema, SETTINGS, type Setting, type SettingView } from "../../../src/contract/api/setting.ts";
import { proposedCautions } from "../../../src/core/plan/caution-defaults.ts";
import { settingQuery, useSaveSetting } from "../../client/publishing.ts";
import type { Answer } from "../../client/request.ts";
import { ADMINISTRATORS, PLANNERS, planQuery, plantQuery, useMay, useSiteTime } from "../../client/shop.ts";
import { CheckField, ChipsField } from "../../forms/choice-fields.tsx";
import { EditFrame } from "../../forms/edit-frame.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { Rows } from "../../forms/rows.tsx";
import { TextField } from "../../forms/text-fields.tsx";
import { useEditing } from "../../forms/use-editing.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Failure, Notice, ReadOnlyNote } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { instantText } from "../../present/instant.ts";
import { words } from "../../words/words.ts";

const w = words.publishing.settings;
type Rule = z.infer<typeof cautionRuleSchema>;
type Cautions = Setting<"cautions">;

export function PublishingSettingsPage() {
  const answer = useSuspenseQuery(settingQuery("cautions")).data;
  const written = useMemo((): Answer<Cautions> => ({ value: answer.value.value, revision: answer.revision }), [answer]);
  return (
    <Page narrow title={w.title} about={w.about} back={<Link to="/setup">{words.shell.back(words.setup.title)}</Link>}>
      <Publishers />
      <CautionSheet answer={written} view={answer.value} />
    </Page>
  );
}

function Publishers() {
  const answer = useSuspenseQuery(settingQuery("publishing")).data;
  const mayEdit = useMay(ADMINISTRATORS);
  const save = useSaveSetting("publishing");
  return (
    <Section title={w.publishersTitle} about={mayEdit ? undefined : w.onlyAdministrators}>
      <div className="field" style={{ maxWidth: 420 }}>
        <label htmlFor="publishers">{w.publishers}</label>
        <select
          id="publishers"
          disabled={!mayEdit || save.isPending}
          value={answer.value.value.publishers}
          onChange={(event) =>
            save.mutate(
              { value: SETTINGS.publishing.parse({ publishers: event.target.value }), revision: answer.revision },
              { onSuccess: () => toast(words.forms.saved(w.publishersTitle)) },
            )
          }
        >
          {(["planners", "administrators"] as const).map((each) => (
            <option key={each} value={each}>
              {w.publishersNames[each]}
            </option>
          ))}
        </select>
      </div>
      {save.isError ? <Failure error={save.error} /> : null}
    </Section>
  );
}

function CautionSheet({ answer, view }: { readonly answer: Answer<Cautions>; readonly view: SettingView<"cautions"> }) {
  const client = useQueryClient();
  const mayEdit = useMay(PLANNERS);
  const time = useSiteTime();
  const save = useSaveSetting("cautions");
  const plan = useQuery(planQuery).data;
  const editing = useEditing<Cautions>({
    schema: SETTINGS.cautions as z.ZodType<Cautions>,
    answer,
    readOnly: !mayEdit,
    what: () => w.rulesTitle,
    id: () => "",
    send: ({ value, revision }) => save.mutateAsync({ value, revision }).then(() => undefined),
    readAgain: async () => {
      const again = await client.fetchQuery({ ...settingQuery("cautions"), staleTime: 0 });
      return { value: again.value.value, revision: again.revision };
    },
  });
  const { root } = editing.form;
  const { rules } = root.value;
  const proposed = useMemo(
    (): Rule[] => (plan ? proposedCautions(plan.problem).map((rule) => cautionRuleSchema.parse(rule)) : []),
    [plan],
  );
  return (
    <>
      {mayEdit ? null : <ReadOnlyNote roles={PLANNERS} />}
      <EditFrame editing={editing} readOnly={!mayEdit} what={w.rulesTitle}>
        <Section
          title={w.rulesTitle}
          about={w.rulesAbout}
          actions={
            mayEdit ? (
              <button
                type="button"
                className="button button-small"
                onClick={() => root.set({ rules: rules === null ? structuredClone(proposed) : null })}
              >
                {rules === null ? w.write : w.backToProposed}
              </button>
            ) : null
          }
        >
          {view.changedBy && view.changedAt ? (
            <p className="quiet">{w.changed(view.changedBy, instantText(view.changedAt, time.zone))}</p>
          ) : null}
          {rules === null ? (
            <>
              <Notice>{w.proposed}</Notice>
              {proposed.map((rule) => (
                <ProposedRule key={rule.id} rule={rule} />
              ))}
            </>
          ) : (
            <>
              {rules.length === 0 ? <Notice kind="warn">{w.noRules}</Notice> : null}
              <Rows lens={at(root, "rules") as Lens<Rule[]>} what={w.rule} add={w.addRule} fresh={() => freshRule(rules)} ordered>
                {(rule) => <RuleFields rule={rule} />}
              </Rows>
            </>
          )}
        </Section>
      </EditFrame>
    </>
  );
}

function freshRule(rules: readonly Rule[]): Rule {
  let number = rules.length + 1;
  while (rules.some(({ id }) => id === `list-${number}`)) number += 1;
  return { id: `list-${number}`, title: w.newRule, alone: true, machines: [], supplies: [], items: [w.newItem] };
}

function useNames() {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const supplies = useQuery(plantQuery("supplies")).data ?? [];
  const choices = (list: readonly { readonly id: string; readonly name?: string | undefined }[]) =>
    list.map(({ id, name }) => ({ value: id, label: name || id }));
  return { machines: choices(machines), supplies: choices(supplies) };
}

function ProposedRule({ rule }: { readonly rule: Rule }) {
  const names = useNames();
  const named = (ids: readonly string[], of: typeof names.machines): string =>
    of
      .filter(({ value }) => ids.includes(value))
      .map(({ label }) => label)
      .join(", ");
  const about = [named(rule.machines, names.machines), named(rule.supplies, names.supplies)].filter((text) => text !== "");
  return (
    <div className="proposed-rule">
      <h3>{rule.title}</h3>
      <p className="quiet">
        {about.length === 0 ? w.neither : `${about.join("; ")}.`}
        {rule.alone ? ` ${w.alone}.` : ""}
      </p>
      <ul>
        {rule.items.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </div>
  );
}

function RuleFields({ rule }: { readonly rule: Lens<Rule> }) {
  const names = useNames();
  return (
    <>
      <TextField label={w.ruleTitle} lens={at(rule, "title")} width="wide" />
      <CheckField label={w.alone} lens={at(rule, "alone")} />
      <ChipsField label={w.machines} lens={at(rule, "machines")} choices={names.machines} hint={w.neither} width="wide" />
      <ChipsField label={w.supplies} lens={at(rule, "supplies")} choices={names.supplies} width="wide" />
      <div className="field field-wide">
        <span className="label">{w.items}</span>
        <Rows lens={at(rule, "items")} what={w.item} add={w.addItem} fresh={() => w.newItem} ordered>
          {(entry, i) => <TextField bare label={`${w.item} ${i + 1}`} lens={entry} lines={2} width="wide" />}
        </Rows>
      </div>
    </>
  );
}
