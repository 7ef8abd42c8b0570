/** The frame of every field: label, control, hint, fault - tied together for assistive technology. */
import { type ReactNode, useId } from "react";
import { FieldHelp } from "../parts/term.tsx";
import type { GlossaryTerm } from "../words/en/glossary.ts";

export type ControlProps = {
  readonly id: string;
  readonly "aria-describedby": string | undefined;
  readonly "aria-invalid": true | undefined;
};

export type FieldLook = {
  readonly label: string;
  readonly hint?: ReactNode;
  readonly help?: GlossaryTerm;
  /** In tables: the column names it, the label is for assistive technology only. */
  readonly bare?: boolean;
  /** Takes the whole row, or two columns. */
  readonly width?: "wide" | "two";
};

type FieldProps = FieldLook & { readonly fault: string | null; readonly children: (control: ControlProps) => ReactNode };

export const widthClass = (width: FieldLook["width"]): string =>
  width === "wide" ? "field field-wide" : width === "two" ? "field field-two" : "field";

export function Field({ label, hint, help, bare, width, fault, children }: FieldProps) {
  const id = useId();
  const described = [hint ? `${id}-hint` : "", fault ? `${id}-fault` : ""].filter((part) => part !== "").join(" ");
  return (
    <div className={widthClass(width)}>
      <span className={bare ? "out-of-sight" : "label"}>
        <label htmlFor={id}>{label}</label>
        {help ? <FieldHelp of={help} /> : null}
      </span>
      {children({ id, "aria-describedby": described === "" ? undefined : described, "aria-invalid": fault ? true : undefined })}
      {hint ? (
        <span className="field-hint" id={`${id}-hint`}>
          {hint}
        </span>
      ) : null}
      {fault ? (
        <span className="field-fault" id={`${id}-fault`}>
          {fault}
        </span>
      ) : null}
    </div>
  );
}

/** A field made of several controls: a named group. */
export function FieldGroup({
  label,
  hint,
  help,
  bare,
  width,
  fault,
  children,
}: FieldLook & { readonly fault: string | null; readonly children: ReactNode }) {
  const id = useId();
  return (
    <fieldset className={widthClass(width)} aria-labelledby={`${id}-label`}>
      <span className={bare ? "out-of-sight" : "label"}>
        <span id={`${id}-label`}>{label}</span>
        {help ? <FieldHelp of={help} /> : null}
      </span>
      {children}
      {hint ? <span className="field-hint">{hint}</span> : null}
      {fault ? <span className="field-fault">{fault}</span> : null}
    </fieldset>
  );
}
