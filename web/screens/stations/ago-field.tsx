/** When something happened, said the way people at a machine say it: now, or so many minutes ago. */
import { useId } from "react";
import { useSiteTime } from "../../client/shop.ts";
import { Field } from "../../forms/field.tsx";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";

const w = words.stations.report;
const CHOICES = ["0", "5", "15", "30", "60"] as const;

/** null: not a whole number of minutes. */
export const minutesAgo = (text: string): number | null => (/^\d{1,6}$/.test(text.trim()) ? Number(text.trim()) : null);

export function AgoField({
  label,
  value,
  onChange,
  fault = null,
}: {
  readonly label: string;
  /** Minutes, as typed. */
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly fault?: string | null;
}) {
  const time = useSiteTime();
  const id = useId();
  const ago = minutesAgo(value);
  return (
    <fieldset className="field ago" aria-labelledby={`${id}-label`}>
      <span className="label" id={`${id}-label`}>
        {label}
      </span>
      <div className="ago-choices">
        {CHOICES.map((choice) => (
          <button
            key={choice}
            type="button"
            className="button"
            aria-pressed={value.trim() === choice}
            onClick={() => onChange(choice)}
          >
            {choice === "0" ? w.agoNow : durationText(Number(choice))}
          </button>
        ))}
        <Field label={w.otherAgo} fault={ago === null ? w.badAgo : fault}>
          {(control) => (
            <input {...control} inputMode="numeric" value={value} onChange={(event) => onChange(event.target.value)} />
          )}
        </Field>
        <b className="ago-clock" aria-live="polite">
          {ago === null ? "" : w.at(time.short(time.now - ago))}
        </b>
      </div>
    </fieldset>
  );
}
