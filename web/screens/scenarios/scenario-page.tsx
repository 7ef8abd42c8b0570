/** One scenario: what it changes, how it does against the draft; planned, branched, renamed, dropped, adopted here. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate, useParams } from "@tanstack/react-router";
import { useState } from "react";
import type { ScenarioPatch, ScenarioView } from "../../../src/contract/api/scenario.ts";
import type { ScenarioChange } from "../../../src/contract/scenario/change.ts";
import { isProblem } from "../../client/api-problem.ts";
import { useQuestion } from "../../client/question.ts";
import { scenarioQuery, useScenarioChanges } from "../../client/scenarios.ts";
import { PLANNERS, planQuery, useMay, useSiteTime } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Failure, Notice, ReadOnlyNote } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { instantText } from "../../present/instant.ts";
import { words } from "../../words/words.ts";
import { ChangeForm } from "./change-form.tsx";
import { changeText, namesOf } from "./change-text.ts";
import { NewScenarioDialog } from "./new-scenario-dialog.tsx";
import { PlanIt } from "./plan-it.tsx";
import { RenameDialog } from "./rename-dialog.tsx";
import { Compared } from "./scenarios-page.tsx";

const w = words.scenarios.page;

export function ScenarioPage() {
  const { id } = useParams({ from: "/scenarios/$id" });
  const scenario = useSuspenseQuery(scenarioQuery(id)).data;
  return <ScenarioSheet key={id} scenario={scenario} />;
}

function ScenarioSheet({ scenario }: { readonly scenario: ScenarioView }) {
  const view = useSuspenseQuery(planQuery).data;
  const time = useSiteTime();
  const navigate = useNavigate();
  const mayEdit = useMay(PLANNERS);
  const { change, move } = useScenarioChanges();
  const asking = useQuestion("scenarioPlan");
  const [branching, setBranching] = useState(false);
  const [renaming, setRenaming] = useState(false);
  const { id, name, revision, state } = scenario;
  const editable = mayEdit && state === "open";
  const names = namesOf(view);
  const { changes, troubles, ...rest } = scenario;
  const head = { ...rest, changes: changes.length };

  const patch = (fields: ScenarioPatch, done?: () => void): void =>
    change.mutate({ id, revision, patch: fields }, { onSuccess: () => done?.() });
  const stale = isProblem(change.error, 412);
  const refusal = stale ? <Notice kind="warn">{w.stale}</Notice> : change.isError ? <Failure error={change.error} /> : null;
  const moveTo = (to: "drop" | "reopen"): void =>
    move.mutate(
      { id, revision, to },
      {
        onSuccess: () => {
          toast(to === "drop" ? w.dropped(name) : w.reopened(name));
          if (to === "drop") void navigate({ to: "/scenarios" });
        },
      },
    );

  return (
    <Page
      title={name}
      about={scenario.note === "" ? words.scenarios.planned[scenario.planned] : scenario.note}
      back={<Link to="/scenarios">{words.shell.back(words.scenarios.title)}</Link>}
      figures={[
        {
          label: words.scenarios.columns.plan,
          value: words.scenarios.plannedShort[scenario.planned],
          how: words.how.scenario.plan,
        },
        {
          label: words.scenarios.columns.by,
          value: scenario.changedBy,
          how: null,
        },
        {
          label: words.scenarios.columns.when,
          value: instantText(scenario.changedAt, time.zone),
          how: null,
        },
      ]}
      actions={
        mayEdit ? (
          <>
            {editable ? (
              <>
                <button type="button" className="button" onClick={() => setRenaming(true)}>
                  {w.rename}
                </button>
                <button type="button" className="button button-danger" disabled={move.isPending} onClick={() => moveTo("drop")}>
                  {w.drop}
                </button>
              </>
            ) : (
              <button type="button" className="button" disabled={move.isPending} onClick={() => moveTo("reopen")}>
                {w.reopen}
              </button>
            )}
            <button type="button" className="button" onClick={() => setBranching(true)}>
              {w.branch}
            </button>
          </>
        ) : null
      }
    >
      {mayEdit ? null : <ReadOnlyNote roles={PLANNERS} />}
      {state === "open" ? null : <Notice>{w.overNote[state]}</Notice>}
      {renaming ? null : refusal}
      {move.isError ? <Failure error={move.error} /> : null}
      {troubles.length > 0 ? (
        <Notice kind="warn" title={w.troubleTitle}>
          <ul>
            {troubles.map((trouble) => (
              <li key={`${trouble.change}${trouble.field}${trouble.message}`}>
                {trouble.change < 0 ? trouble.message : `${trouble.change + 1}: ${trouble.message}`}
              </li>
            ))}
          </ul>
        </Notice>
      ) : null}
      <Section
        title={w.changesTitle}
        about={w.basedOn(scenario.basedOnDraft ?? 0)}
        actions={
          editable ? (
            <PlanIt
              asking={asking}
              scenario={id}
              again={scenario.planned !== "draft"}
              onPlan={(plan, conflicts) => patch({ plan }, () => toast(w.planKept(conflicts)))}
            />
          ) : null
        }
      >
        {changes.length === 0 ? <p className="quiet">{w.changesNone}</p> : null}
        <ol className="change-list">
          {changes.map((each, i) => {
            const text = changeText(each, names, time);
            return (
              // biome-ignore lint/suspicious/noArrayIndexKey: changes have no id, and two may be alike
              <li key={`${i}${text}`}>
                <span>{text}</span>
                {editable ? (
                  <button
                    type="button"
                    className="button button-small"
                    aria-label={w.remove(text)}
                    disabled={change.isPending}
                    onClick={() => patch({ changes: changes.filter((_, j) => j !== i) })}
                  >
                    {w.removeShort}
                  </button>
                ) : null}
              </li>
            );
          })}
        </ol>
        {editable ? (
          <ChangeForm
            view={view}
            busy={change.isPending}
            refusal={change.isError && !stale ? change.error : null}
            onAdd={(made: ScenarioChange, done) => patch({ changes: [...changes, made] }, done)}
          />
        ) : null}
      </Section>
      <Compared chosen={[head]} mayAdopt={editable} />
      {branching ? <NewScenarioDialog heads={[]} from={head} onClose={() => setBranching(false)} /> : null}
      {renaming ? (
        <RenameDialog
          name={name}
          note={scenario.note}
          busy={change.isPending}
          refusal={refusal}
          onSave={(fields) =>
            patch(fields, () => {
              toast(w.saved);
              setRenaming(false);
            })
          }
          onClose={() => setRenaming(false)}
        />
      ) : null}
    </Page>
  );
}
