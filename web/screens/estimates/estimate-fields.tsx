/** The inputs of an estimator as fields, made from its own table: label, unit, range; what is out of range is refused with the range. */
import { useState } from "react";
import type { Estimator, InputField } from "../../../src/core/estimate/estimate.ts";
import { Field } from "../../forms/field.tsx";
import { numberText, parseDecimal } from "../../present/amounts.ts";
import { words } from "../../words/words.ts";

const w = words.rigs;

export type Inputs = Readonly<Record<string, number>>;

type EstimateFieldsProps = {
  readonly estimator: Estimator;
  readonly inputs: Inputs;
  readonly onInputs: (inputs: Record<string, number>) => void;
  readonly readOnly?: boolean;
};

export function EstimateFields({ estimator, inputs, onInputs, readOnly = false }: EstimateFieldsProps) {
  const result = estimator.estimate(inputs);
  const faults = new Map(result.ok ? [] : result.error.map(({ at, message }) => [at, message]));
  return (
    <div className="fields">
      {estimator.fields.map((field) => (
        <EstimateField
          key={`${estimator.kind} ${field.name}`}
          field={field}
          value={inputs[field.name]}
          fault={faults.get(field.name) ?? null}
          readOnly={readOnly}
          onValue={(value) => {
            const { [field.name]: _old, ...rest } = inputs;
            onInputs(value === null ? rest : { ...rest, [field.name]: value });
          }}
        />
      ))}
    </div>
  );
}

type EstimateFieldProps = {
  readonly field: InputField;
  readonly value: number | undefined;
  readonly fault: string | null;
  readonly readOnly: boolean;
  readonly onValue: (value: number | null) => void;
};

function EstimateField({ field, value, fault, readOnly, onValue }: EstimateFieldProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const unreadable = typed !== null && typed.trim() !== "" && parseDecimal(typed) === null;
  const shown = unreadable ? words.forms.expectedNumber : value === undefined ? null : fault;
  const range = w.estimateRange(numberText(field.least), numberText(field.most), field.unit);
  return (
    <Field
      label={field.unit === "" ? field.label : `${field.label}, ${field.unit}`}
      hint={field.fallback === null && value === undefined ? `${range}, ${w.estimateNeeded}` : range}
      fault={shown}
    >
      {(control) => (
        <input
          {...control}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          disabled={readOnly}
          value={typed ?? String(value ?? field.fallback ?? "")}
          onChange={(e) => {
            setTyped(e.target.value);
            onValue(parseDecimal(e.target.value));
          }}
          onBlur={() => {
            if (!unreadable) setTyped(null);
          }}
        />
      )}
    </Field>
  );
}
