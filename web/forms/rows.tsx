/** Lists inside forms: each entry with its fields, moved and removed by small buttons, a new one added below. */
import type { ReactNode } from "react";
import { words } from "../words/words.ts";
import { appended, items, type Lens, shifted, without } from "./lens.ts";

type RowsProps<T> = {
  readonly lens: Lens<T[]>;
  /** "closure": said on the buttons. */
  readonly what: string;
  readonly add: string;
  /** A new entry; null when it takes more than a click (the add button is then left out). */
  readonly fresh: (() => T) | null;
  /** Order means something: entries can be moved. */
  readonly ordered?: boolean;
  readonly children: (entry: Lens<T>, index: number) => ReactNode;
};

export function Rows<T>({ lens, what, add, fresh, ordered = false, children }: RowsProps<T>) {
  const { readOnly } = lens.form;
  return (
    <div className="lines">
      {items(lens).map((entry, i) => (
        // Entries have no identity of their own; their place is it, as in the faults of the server.
        <div className="line-item" key={entry.path}>
          <div className="fields">{children(entry, i)}</div>
          {readOnly ? null : <RowButtons lens={lens} index={i} what={what} ordered={ordered} />}
        </div>
      ))}
      {lens.form.faultAt(lens.path) && lens.value.length === 0 ? (
        <span className="field-fault">{lens.form.faultAt(lens.path)}</span>
      ) : null}
      {readOnly || fresh === null ? null : (
        <div className="row">
          <button type="button" className="button button-small" onClick={() => lens.set(appended(lens.value, fresh()))}>
            + {add}
          </button>
        </div>
      )}
    </div>
  );
}

type RowButtonsProps<T> = {
  readonly lens: Lens<T[]>;
  readonly index: number;
  readonly what: string;
  readonly ordered: boolean;
  /** In words instead of marks, where there is room. */
  readonly worded?: boolean;
};

export function RowButtons<T>({ lens, index, what, ordered, worded = false }: RowButtonsProps<T>) {
  const name = `${what} ${index + 1}`;
  const act = (label: string, mark: string, disabled: boolean, next: () => T[]) => (
    <button
      type="button"
      className={worded ? "button button-small" : "icon-button"}
      disabled={disabled}
      aria-label={label}
      title={label}
      onClick={() => lens.set(next())}
    >
      {worded ? label : mark}
    </button>
  );
  return (
    <span className={worded ? "row" : "row-buttons"}>
      {ordered ? act(words.forms.moveUp(name), "↑", index === 0, () => shifted(lens.value, index, -1)) : null}
      {ordered
        ? act(words.forms.moveDown(name), "↓", index === lens.value.length - 1, () => shifted(lens.value, index, 1))
        : null}
      {act(words.forms.remove(name), "✕", false, () => without(lens.value, index))}
    </span>
  );
}
