/** The phases of one way to do an operation, as a small table: what, how it flows, how long, who, what it draws. */
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { minutesOf } from "../../../src/core/estimate/estimate.ts";
import { plantQuery } from "../../client/shop.ts";
import { ChoiceField } from "../../forms/choice-fields.tsx";
import { appended, at, item, items, type Lens, without } from "../../forms/lens.ts";
import { RowButtons } from "../../forms/rows.tsx";
import {
  DurationField,
  NumberField,
  OptionalDurationField,
  ScaledField,
  SecondsField,
  TextField,
} from "../../forms/text-fields.tsx";
import { FieldHelp } from "../../parts/term.tsx";
import { words } from "../../words/words.ts";
import { EstimateDialog } from "../estimates/estimate-dialog.tsx";
import { newPhase, type PhaseInForm } from "./order-defaults.ts";

const w = words.orders;
const f = w.fields;

const PHASES = (["prepare", "run", "clear"] as const).map((value) => ({ value, label: w.phaseKinds[value] }));
const FLOWS = (["solid", "pausable", "piecewise"] as const).map((value) => ({ value, label: w.flows[value] }));
const WORKS = (["fixed", "perPiece"] as const).map((value) => ({ value, label: w.works[value] }));

export function PhaseTable({ lens }: { readonly lens: Lens<PhaseInForm[]> }) {
  const { readOnly } = lens.form;
  const skills = [...new Set((useQuery(plantQuery("crews")).data ?? []).flatMap((crew) => crew.skills))].sort();
  const supplies = useQuery(plantQuery("supplies")).data ?? [];
  return (
    <div>
      <div className="table-frame">
        <table className="phase-table">
          <thead>
            <tr>
              <th scope="col">{f.phaseKind}</th>
              <th scope="col">{f.work}</th>
              <th scope="col">
                {f.flow}
                <FieldHelp of="flow" />
              </th>
              <th scope="col">
                {f.needs}
                <FieldHelp of="need" />
              </th>
              <th scope="col">
                {f.draws}
                <FieldHelp of="draw" />
              </th>
              <th scope="col">
                {f.maxWait}
                <FieldHelp of="maxWait" />
              </th>
              <th>
                <span className="out-of-sight">{words.forms.remove(f.phase)}</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {items(lens).map((phase, i) => (
              <tr key={phase.path}>
                <td>
                  <ChoiceField bare label={f.phaseKind} lens={at(phase, "kind")} choices={PHASES} />
                </td>
                <td>
                  <WorkField lens={at(phase, "work")} />
                </td>
                <td>
                  <ChoiceField bare label={f.flow} lens={at(phase, "flow")} choices={FLOWS} />
                </td>
                <td>
                  <NeedList lens={at(phase, "needs")} skills={skills} />
                </td>
                <td>
                  {supplies.length === 0 ? (
                    <span className="quiet">{words.forms.none}</span>
                  ) : (
                    <DrawList
                      lens={at(phase, "draws")}
                      supplies={supplies.map(({ id, name, unit }) => ({ id, name: name || id, unit }))}
                    />
                  )}
                </td>
                <td>{i === 0 ? null : <OptionalDurationField bare label={f.maxWait} lens={at(phase, "maxWait")} />}</td>
                <td>{readOnly ? null : <RowButtons lens={lens} index={i} what={f.phase} ordered />}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {readOnly ? null : (
        <div className="row" style={{ marginTop: 6 }}>
          {PHASES.filter(({ value }) => value !== "prepare" || !lens.value.some(({ kind }) => kind === "prepare")).map(
            ({ value, label }) => (
              <button
                key={value}
                type="button"
                className="button button-small"
                onClick={() =>
                  lens.set(value === "prepare" ? [newPhase(value), ...lens.value] : appended(lens.value, newPhase(value)))
                }
              >
                + {label}
              </button>
            ),
          )}
        </div>
      )}
    </div>
  );
}

function WorkField({ lens }: { readonly lens: Lens<PhaseInForm["work"]> }) {
  const [estimating, setEstimating] = useState(false);
  const work = lens.value;
  const kind: Lens<PhaseInForm["work"]["kind"]> = {
    ...lens,
    value: work.kind,
    set: (next) =>
      lens.set(
        next === "fixed"
          ? { kind: "fixed", minutes: work.kind === "perPiece" ? Math.ceil(work.seconds / 60) : work.minutes }
          : { kind: "perPiece", seconds: work.kind === "fixed" ? Math.max(60, work.minutes * 60) : work.seconds },
      ),
  };
  return (
    <span className="work-field">
      {work.kind === "fixed" ? (
        <DurationField
          bare
          label={f.minutes}
          lens={{
            ...lens,
            path: `${lens.path}/minutes`,
            value: work.minutes,
            set: (minutes: number) => lens.set({ kind: "fixed", minutes }),
          }}
        />
      ) : (
        <SecondsField
          bare
          label={f.seconds}
          lens={{
            ...lens,
            path: `${lens.path}/seconds`,
            value: work.seconds,
            set: (seconds: number) => lens.set({ kind: "perPiece", seconds }),
          }}
        />
      )}
      <ChoiceField bare label={f.workKind} lens={kind} choices={WORKS} />
      {lens.form.readOnly ? null : (
        <button type="button" className="button button-small" onClick={() => setEstimating(true)}>
          {words.rigs.estimate}
        </button>
      )}
      {estimating ? (
        <EstimateDialog
          onClose={() => setEstimating(false)}
          onUse={(seconds) =>
            lens.set(
              work.kind === "fixed"
                ? { kind: "fixed", minutes: minutesOf(seconds) }
                : { kind: "perPiece", seconds: Math.max(60, Math.ceil(seconds)) },
            )
          }
        />
      ) : null}
    </span>
  );
}

function NeedList({ lens, skills }: { readonly lens: Lens<PhaseInForm["needs"]>; readonly skills: readonly string[] }) {
  return (
    <div className="pairs">
      {lens.value.length === 0 ? <span className="quiet">{f.unattended}</span> : null}
      {lens.value.map((_, i) => {
        const need = item(lens, i);
        return (
          <span key={need.path}>
            <TextField bare label={f.skill} lens={at(need, "skill")} suggestions={skills} />
            <span className="pair-amount">
              <ScaledField bare label={f.people} lens={at(need, "amount")} scale={100} />
            </span>
            <RemovePair lens={lens} index={i} what={f.skill} />
          </span>
        );
      })}
      {lens.form.readOnly ? null : (
        <button
          type="button"
          className="button button-small"
          onClick={() => lens.set(appended(lens.value, { skill: skills[0] ?? "", amount: 100 }))}
        >
          + {f.skill}
        </button>
      )}
    </div>
  );
}

type SupplyChoice = { readonly id: string; readonly name: string; readonly unit: string };

function DrawList({ lens, supplies }: { readonly lens: Lens<PhaseInForm["draws"]>; readonly supplies: readonly SupplyChoice[] }) {
  return (
    <div className="pairs">
      {lens.value.map((draw, i) => {
        const place = item(lens, i);
        return (
          <span key={place.path}>
            <ChoiceField
              bare
              label={f.supply}
              lens={at(place, "supply")}
              choices={supplies.map(({ id, name, unit }) => ({ value: id, label: unit === "" ? name : `${name}, ${unit}` }))}
            />
            <span className="pair-amount">
              <NumberField
                bare
                label={`${f.amount} ${supplies.find(({ id }) => id === draw.supply)?.unit ?? ""}`}
                lens={at(place, "amount")}
              />
            </span>
            <RemovePair lens={lens} index={i} what={f.supply} />
          </span>
        );
      })}
      {lens.form.readOnly ? null : (
        <button
          type="button"
          className="button button-small"
          onClick={() => lens.set(appended(lens.value, { supply: supplies[0]?.id ?? "", amount: 1 }))}
        >
          + {f.supply}
        </button>
      )}
    </div>
  );
}

function RemovePair<T>({ lens, index, what }: { readonly lens: Lens<T[]>; readonly index: number; readonly what: string }) {
  if (lens.form.readOnly) return null;
  const label = words.forms.remove(`${what} ${index + 1}`);
  return (
    <button
      type="button"
      className="icon-button"
      aria-label={label}
      title={label}
      onClick={() => lens.set(without(lens.value, index))}
    >
      ✕
    </button>
  );
}
