/** How long a campaign takes: by an estimate with its working, or by a time somebody knows. */
import type { Campaign, CampaignWork } from "../../../src/contract/campaign/campaign-schema.ts";
import { ESTIMATORS } from "../../../src/core/estimate/catalogue.ts";
import { ChoiceField } from "../../forms/choice-fields.tsx";
import { Field } from "../../forms/field.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { DurationField } from "../../forms/text-fields.tsx";
import { words } from "../../words/words.ts";
import { EstimateFields } from "../estimates/estimate-fields.tsx";
import { EstimateWorking } from "../estimates/estimate-working.tsx";

const w = words.rigs;
const POINTS = (["best", "likely", "worst"] as const).map((value) => ({ value, label: w.points[value] }));

type Estimated = Extract<CampaignWork, { kind: "estimate" }>;

export function CampaignTimeFields({ lens }: { readonly lens: Lens<Campaign> }) {
  const work = at(lens, "work");
  const { value } = work;
  const choose = (kind: string): void =>
    work.set(
      kind === "" ? { kind: "minutes", minutes: 480 } : { kind: "estimate", estimator: kind, inputs: {}, point: "likely" },
    );
  return (
    <div className="stack">
      <div className="fields">
        <Field label={w.by} width="two" fault={null}>
          {(control) => (
            <select
              {...control}
              disabled={lens.form.readOnly}
              value={value.kind === "minutes" ? "" : value.estimator}
              onChange={(e) => choose(e.target.value)}
            >
              <option value="">{w.known}</option>
              {ESTIMATORS.map(({ kind, title }) => (
                <option key={kind} value={kind}>
                  {title}
                </option>
              ))}
            </select>
          )}
        </Field>
        {value.kind === "minutes" ? (
          <DurationField
            label={w.minutes}
            lens={{
              form: lens.form,
              path: `${work.path}/minutes`,
              value: value.minutes,
              set: (minutes: number) => work.set({ kind: "minutes", minutes }),
            }}
          />
        ) : (
          <ChoiceField
            label={w.point}
            lens={{
              form: lens.form,
              path: `${work.path}/point`,
              value: value.point,
              set: (point: Estimated["point"]) => work.set({ ...value, point }),
            }}
            choices={POINTS}
          />
        )}
      </div>
      {value.kind === "estimate" ? <Estimate lens={work} value={value} /> : null}
    </div>
  );
}

function Estimate({ lens, value }: { readonly lens: Lens<CampaignWork>; readonly value: Estimated }) {
  const estimator = ESTIMATORS.find(({ kind }) => kind === value.estimator);
  if (!estimator) return null;
  const result = estimator.estimate(value.inputs);
  return (
    <>
      <EstimateFields
        estimator={estimator}
        inputs={value.inputs}
        readOnly={lens.form.readOnly}
        onInputs={(inputs) => lens.set({ ...value, inputs })}
      />
      {result.ok ? <EstimateWorking estimator={estimator} estimate={result.value} /> : <p className="quiet">{w.estimateOpen}</p>}
    </>
  );
}
