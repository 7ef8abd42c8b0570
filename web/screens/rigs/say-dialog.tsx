/** Declining, asking for another slot, withdrawing: a word with it, which declining needs. */
import { useState } from "react";
import { Field } from "../../forms/field.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { words } from "../../words/words.ts";

const w = words.rigs;

const ACTS = {
  decline: { title: w.declineTitle, label: w.declineReason, button: w.decline, needed: true },
  "ask-again": { title: w.askAgain, label: w.note, button: w.askAgain, needed: false },
  withdraw: { title: w.withdraw, label: w.note, button: w.withdraw, needed: false },
} as const;

export function SayDialog({
  act,
  onSay,
  onClose,
}: {
  readonly act: keyof typeof ACTS;
  readonly onSay: (note: string) => void;
  readonly onClose: () => void;
}) {
  const [note, setNote] = useState("");
  const [tried, setTried] = useState(false);
  const { title, label, button, needed } = ACTS[act];
  const fault = needed && note.trim() === "" ? w.reasonNeeded : null;
  return (
    <Dialog
      title={title}
      onClose={onClose}
      foot={
        <button
          type="button"
          className={act === "ask-again" ? "button button-main" : "button button-danger"}
          onClick={() => {
            setTried(true);
            if (fault === null) onSay(note.trim());
          }}
        >
          {button}
        </button>
      }
    >
      <Field label={label} fault={tried ? fault : null}>
        {(control) => <textarea {...control} rows={3} value={note} onChange={(e) => setNote(e.target.value)} />}
      </Field>
    </Dialog>
  );
}
