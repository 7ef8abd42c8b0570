/** Fields of dates and times in the site's zone. A date without a time means the whole day, as the contract reads it. */
import type { Moment } from "../../src/contract/file/field.ts";
import { useSiteTime } from "../client/shop.ts";
import { fieldsOfMoment, momentOfFields } from "../present/site-time.ts";
import { words } from "../words/words.ts";
import { Field, FieldGroup, type FieldLook } from "./field.tsx";
import type { Lens } from "./lens.ts";

type MomentFieldProps = FieldLook & {
  readonly lens: Lens<Moment> | Lens<Moment | null> /** What an emptied date means; left out: it may not be emptied. */;
  readonly empty?: null;
};

export function MomentField({ lens, empty, ...look }: MomentFieldProps) {
  const place = lens as Lens<Moment | null>;
  const time = useSiteTime();
  const shown = place.value === null || place.value === "" ? { date: "", time: "" } : fieldsOfMoment(place.value, time);
  const set = (date: string, clock: string): void => place.set(momentOfFields(date, clock) ?? (empty === null ? null : ""));
  return (
    <FieldGroup {...look} fault={place.form.faultAt(place.path)}>
      <span className="moment">
        <input
          type="date"
          aria-label={words.forms.dateOf(look.label)}
          value={shown.date}
          disabled={place.form.readOnly}
          onChange={(e) => set(e.target.value, shown.time)}
          onBlur={() => place.form.touch(place.path)}
        />
        <input
          type="time"
          aria-label={words.forms.timeOf(look.label)}
          value={shown.time}
          disabled={place.form.readOnly || shown.date === ""}
          onChange={(e) => set(shown.date, e.target.value)}
          onBlur={() => place.form.touch(place.path)}
        />
      </span>
    </FieldGroup>
  );
}

export function DateField({ lens, ...look }: FieldLook & { readonly lens: Lens<string> | Lens<string | undefined> }) {
  const place = lens as Lens<string | undefined>;
  return (
    <Field {...look} fault={place.form.faultAt(place.path)}>
      {(control) => (
        <input
          {...control}
          type="date"
          value={place.value ?? ""}
          disabled={place.form.readOnly}
          onChange={(e) => place.set(e.target.value === "" ? undefined : e.target.value)}
          onBlur={() => place.form.touch(place.path)}
        />
      )}
    </Field>
  );
}

/** 24:00 as an end is shown as 00:00 and kept as 24:00. */
export function WallTimeField({
  lens,
  end = false,
  ...look
}: FieldLook & { readonly lens: Lens<string>; readonly end?: boolean }) {
  return (
    <Field {...look} fault={lens.form.faultAt(lens.path)}>
      {(control) => (
        <input
          {...control}
          type="time"
          value={lens.value === "24:00" ? "00:00" : lens.value}
          disabled={lens.form.readOnly}
          onChange={(e) => lens.set(end && e.target.value === "00:00" ? "24:00" : e.target.value)}
          onBlur={() => lens.form.touch(lens.path)}
        />
      )}
    </Field>
  );
}
