/** "Estimate this": a duration for the phase at hand, with its working, taken over by one button. */
import { useState } from "react";
import { ESTIMATORS } from "../../../src/core/estimate/catalogue.ts";
import { minutesOf } from "../../../src/core/estimate/estimate.ts";
import { Field } from "../../forms/field.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { EstimateFields, type Inputs } from "./estimate-fields.tsx";
import { EstimateWorking } from "./estimate-working.tsx";

const w = words.rigs;
const POINTS = ["best", "likely", "worst"] as const;

export function EstimateDialog({ onUse, onClose }: { readonly onUse: (seconds: number) => void; readonly onClose: () => void }) {
  const [kind, setKind] = useState(ESTIMATORS[0]?.kind ?? "");
  const [inputs, setInputs] = useState<Inputs>({});
  const [point, setPoint] = useState<(typeof POINTS)[number]>("likely");
  const estimator = ESTIMATORS.find((candidate) => candidate.kind === kind);
  if (!estimator) return null;
  const result = estimator.estimate(inputs);
  const seconds = result.ok
    ? { best: result.value.bestSeconds, likely: result.value.likelySeconds, worst: result.value.worstSeconds }[point]
    : 0;
  const usable = result.ok && minutesOf(seconds) > 0;
  return (
    <Dialog
      title={w.estimateTitle}
      onClose={onClose}
      foot={
        <button
          type="button"
          className="button button-main"
          disabled={!usable}
          onClick={() => {
            onUse(seconds);
            onClose();
          }}
        >
          {w.takeEstimate(usable ? durationText(minutesOf(seconds)) : "…")}
        </button>
      }
    >
      <div className="fields">
        <Field label={w.estimateKind} width="two" fault={null}>
          {(control) => (
            <select
              {...control}
              value={kind}
              onChange={(e) => {
                setKind(e.target.value);
                setInputs({});
              }}
            >
              {ESTIMATORS.map((one) => (
                <option key={one.kind} value={one.kind}>
                  {one.title}
                </option>
              ))}
            </select>
          )}
        </Field>
        <Field label={w.point} fault={null}>
          {(control) => (
            <select {...control} value={point} onChange={(e) => setPoint(e.target.value as typeof point)}>
              {POINTS.map((one) => (
                <option key={one} value={one}>
                  {w.points[one]}
                </option>
              ))}
            </select>
          )}
        </Field>
      </div>
      <EstimateFields estimator={estimator} inputs={inputs} onInputs={setInputs} />
      {result.ok ? <EstimateWorking estimator={estimator} estimate={result.value} /> : <p className="quiet">{w.estimateOpen}</p>}
      <p className="quiet">{w.estimateCaution}</p>
    </Dialog>
  );
}
