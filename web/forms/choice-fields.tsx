/** Fields of choice: one of several, any of several, yes or no. */
import { useId } from "react";
import { FieldHelp } from "../parts/term.tsx";
import type { GlossaryTerm } from "../words/en/glossary.ts";
import { Field, FieldGroup, type FieldLook } from "./field.tsx";
import type { Lens } from "./lens.ts";

export type Choice<T> = { readonly value: T; readonly label: string };

export function ChoiceField<T extends string | number | null>({
  lens,
  choices,
  ...look
}: FieldLook & { readonly lens: Lens<T>; readonly choices: readonly Choice<T>[] }) {
  const known = choices.some((choice) => choice.value === lens.value);
  return (
    <Field {...look} fault={lens.form.faultAt(lens.path)}>
      {(control) => (
        <select
          {...control}
          value={known ? choices.findIndex((choice) => choice.value === lens.value) : -1}
          disabled={lens.form.readOnly}
          onChange={(e) => {
            const choice = choices[Number(e.target.value)];
            if (choice) lens.set(choice.value);
            lens.form.touch(lens.path);
          }}
        >
          {known ? null : <option value={-1}>{lens.value === null || lens.value === "" ? "" : String(lens.value)}</option>}
          {choices.map((choice, i) => (
            <option key={String(choice.value)} value={i}>
              {choice.label}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}

export function CheckField({
  lens,
  label,
  help,
}: {
  readonly lens: Lens<boolean>;
  readonly label: string;
  readonly help?: GlossaryTerm;
}) {
  const id = useId();
  return (
    <div className="field">
      <span>
        <label className="check" htmlFor={id}>
          <input
            id={id}
            type="checkbox"
            checked={lens.value}
            disabled={lens.form.readOnly}
            onChange={(e) => lens.set(e.target.checked)}
          />
          {label}
        </label>
        {help ? <FieldHelp of={help} /> : null}
      </span>
    </div>
  );
}

/** Any of several, as chips. Values that are no choice any more stay visible, so that they can be taken out. */
export function ChipsField<T extends string | number>({
  lens,
  choices,
  ...look
}: FieldLook & { readonly lens: Lens<T[]>; readonly choices: readonly Choice<T>[] }) {
  const stale = lens.value
    .filter((value) => !choices.some((choice) => choice.value === value))
    .map((value) => ({ value, label: `${value} ?` }));
  const all: readonly Choice<T>[] = [...choices, ...stale];
  const toggle = (value: T, on: boolean): void => {
    const wanted = new Set(lens.value);
    if (on) wanted.add(value);
    else wanted.delete(value);
    lens.set(all.map((choice) => choice.value).filter((known) => wanted.has(known)));
    lens.form.touch(lens.path);
  };
  return (
    <FieldGroup {...look} fault={lens.form.faultAt(lens.path)}>
      <div className="chips">
        {all.map((choice) => (
          <label className="chip" key={String(choice.value)}>
            <input
              type="checkbox"
              checked={lens.value.includes(choice.value)}
              disabled={lens.form.readOnly}
              onChange={(e) => toggle(choice.value, e.target.checked)}
            />
            {choice.label}
          </label>
        ))}
      </div>
    </FieldGroup>
  );
}
