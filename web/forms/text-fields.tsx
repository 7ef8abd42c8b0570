/** Fields of text, and of things written as text: numbers, durations, people. What cannot be read is said at the field. */
import { type ReactNode, useEffect, useState } from "react";
import { parseDecimal, parseScaled, scaledText } from "../present/amounts.ts";
import { durationText, parseDuration, parseSeconds, secondsText } from "../present/duration.ts";
import { words } from "../words/words.ts";
import { Field, type FieldLook } from "./field.tsx";
import type { Lens } from "./lens.ts";

type TextFieldProps = FieldLook & {
  readonly lens: Lens<string> | Lens<string | undefined> | Lens<string | null>;
  /** What an emptied field means. */
  readonly empty?: "" | null | undefined;
  readonly suggestions?: readonly string[];
  readonly lines?: number;
};

export function TextField({ lens, empty = "", suggestions, lines, ...look }: TextFieldProps) {
  const place = lens as Lens<string | null | undefined>;
  const set = (text: string): void => place.set(text === "" ? empty : text);
  return (
    <Field {...look} fault={place.form.faultAt(place.path)}>
      {(control) =>
        lines ? (
          <textarea
            {...control}
            rows={lines}
            value={place.value ?? ""}
            disabled={place.form.readOnly}
            onChange={(e) => set(e.target.value)}
            onBlur={() => place.form.touch(place.path)}
          />
        ) : (
          <>
            <input
              {...control}
              type="text"
              value={place.value ?? ""}
              disabled={place.form.readOnly}
              list={suggestions ? `${control.id}-list` : undefined}
              onChange={(e) => set(e.target.value)}
              onBlur={() => place.form.touch(place.path)}
            />
            {suggestions ? (
              <datalist id={`${control.id}-list`}>
                {suggestions.map((text) => (
                  <option key={text} value={text} />
                ))}
              </datalist>
            ) : null}
          </>
        )
      }
    </Field>
  );
}

type WrittenProps<T> = FieldLook & {
  readonly lens: Lens<T>;
  readonly read: (text: string) => T | undefined;
  readonly write: (value: T) => string;
  /** Said when it cannot be read. */
  readonly expected: string;
  readonly unit?: ReactNode;
  readonly size?: number;
};

/** Text on its way to a value: kept as typed while typing, tidied when left. */
function WrittenField<T>({ lens, read, write, expected, unit, size, ...look }: WrittenProps<T>) {
  const { path, form } = lens;
  const [typed, setTyped] = useState<string | null>(null);
  useEffect(() => () => form.setUnreadable(path, null), [form.setUnreadable, path]);
  const change = (text: string): void => {
    setTyped(text);
    const value = read(text);
    if (value === undefined) form.setUnreadable(path, expected);
    else {
      form.setUnreadable(path, null);
      lens.set(value);
    }
  };
  // Limits are told as the field is written: 5 % and not 50 per mille, 2 d and not 2,880.
  const inUnitsOf = (fault: string | null): string | null =>
    fault === null || fault === expected || typeof lens.value !== "number"
      ? fault
      : fault.replace(/\b(least|most|found) (-?\d+(?:\.\d+)?)\b/g, (_, word, value) => `${word} ${write(Number(value) as T)}`);
  const leave = (): void => {
    form.touch(path);
    if (typed !== null && read(typed) !== undefined) setTyped(null);
  };
  return (
    <Field {...look} fault={inUnitsOf(form.faultAt(path))}>
      {(control) => (
        <span className="with-unit">
          <input
            {...control}
            type="text"
            inputMode="text"
            autoComplete="off"
            size={size}
            value={typed ?? write(lens.value)}
            disabled={form.readOnly}
            onChange={(e) => change(e.target.value)}
            onBlur={leave}
          />
          {unit ? <span className="quiet nowrap">{unit}</span> : null}
        </span>
      )}
    </Field>
  );
}

type ValueField<T> = FieldLook & { readonly lens: Lens<T>; readonly unit?: ReactNode };

export function NumberField({ lens, ...rest }: ValueField<number>) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text) => parseScaled(text, 1) ?? undefined}
      write={String}
      expected={words.forms.expectedWhole}
    />
  );
}

/** Any decimal, with point or comma, as it is. */
export function DecimalField({ lens, ...rest }: ValueField<number>) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text) => parseDecimal(text) ?? undefined}
      write={String}
      expected={words.forms.expectedNumber}
    />
  );
}

/** The same, or empty. */
export function OptionalDecimalField({ lens, ...rest }: ValueField<number | null>) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text): number | null | undefined => (text.trim() === "" ? null : (parseDecimal(text) ?? undefined))}
      write={(value) => (value === null ? "" : String(value))}
      expected={words.forms.expectedNumber}
    />
  );
}

/** Decimals of people kept as whole numbers: people in hundredths, scrap in per mille (as per cent), kelvin in thousandths. */
export function ScaledField({ lens, scale, ...rest }: ValueField<number> & { readonly scale: number }) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text) => parseScaled(text, scale) ?? undefined}
      write={(value) => scaledText(value, scale)}
      expected={words.forms.expectedDecimal(scale)}
    />
  );
}

export function OptionalScaledField({
  lens,
  scale,
  empty,
  ...rest
}: ValueField<number | undefined | null> & { readonly scale: number; readonly empty: null | undefined }) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text) => (text.trim() === "" ? (empty as null) : (parseScaled(text, scale) ?? undefined))}
      write={(value) => (value === null || value === undefined ? "" : scaledText(value, scale))}
      expected={words.forms.expectedDecimal(scale)}
    />
  );
}

export function DurationField({ lens, ...rest }: ValueField<number>) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text) => parseDuration(text) ?? undefined}
      write={durationText}
      expected={words.forms.expectedDuration}
    />
  );
}

export function OptionalDurationField({ lens, ...rest }: ValueField<number | null>) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text): number | null | undefined => (text.trim() === "" ? null : (parseDuration(text) ?? undefined))}
      write={(value) => (value === null ? "" : durationText(value))}
      expected={words.forms.expectedDuration}
    />
  );
}

export function SecondsField({ lens, ...rest }: ValueField<number>) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text) => parseSeconds(text) ?? undefined}
      write={secondsText}
      expected={words.forms.expectedSeconds}
    />
  );
}

/** Names parted by commas. */
export function ListField({ lens, ...rest }: ValueField<string[]>) {
  return (
    <WrittenField
      {...rest}
      lens={lens}
      read={(text) =>
        text
          .split(",")
          .map((part) => part.trim())
          .filter((part) => part !== "")
      }
      write={(list) => list.join(", ")}
      expected={words.forms.expectedList}
    />
  );
}
