/** Name and note of a scenario. */
import { type ReactNode, useId, useState } from "react";
import { Dialog } from "../../parts/dialog.tsx";
import { words } from "../../words/words.ts";

const w = words.scenarios;

type RenameProps = {
  readonly name: string;
  readonly note: string;
  readonly busy: boolean;
  /** Why it was not saved: the page behind the dialog cannot be read. */
  readonly refusal: ReactNode;
  readonly onSave: (fields: { name: string; note: string }) => void;
  readonly onClose: () => void;
};

export function RenameDialog({ name: before, note: noteBefore, busy, refusal, onSave, onClose }: RenameProps) {
  const id = useId();
  const [name, setName] = useState(before);
  const [note, setNote] = useState(noteBefore);
  return (
    <Dialog
      title={w.page.renameTitle}
      onClose={onClose}
      foot={
        <button
          type="button"
          className="button button-main"
          disabled={busy || name.trim() === ""}
          onClick={() => onSave({ name: name.trim(), note })}
        >
          {w.page.save}
        </button>
      }
    >
      {refusal}
      <div className="field">
        <label htmlFor={`${id}-name`}>{w.name}</label>
        <input id={`${id}-name`} value={name} maxLength={120} onChange={(e) => setName(e.target.value)} />
      </div>
      <div className="field">
        <label htmlFor={`${id}-note`}>{w.note}</label>
        <textarea id={`${id}-note`} rows={3} value={note} maxLength={2000} onChange={(e) => setNote(e.target.value)} />
      </div>
    </Dialog>
  );
}
