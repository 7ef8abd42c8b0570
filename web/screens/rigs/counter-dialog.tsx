/** Offering a slot: until when it is held, and why this one. */
import { useState } from "react";
import { localText } from "../../../src/core/calendar/wall-clock.ts";
import { useSiteTime } from "../../client/shop.ts";
import { Field } from "../../forms/field.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { words } from "../../words/words.ts";

const w = words.rigs;

export function CounterDialog({
  until,
  onOffer,
  onClose,
}: {
  readonly until: number;
  readonly onOffer: (until: number, note: string) => void;
  readonly onClose: () => void;
}) {
  const time = useSiteTime();
  const [when, setWhen] = useState(localText(time.clock, until).slice(0, 16));
  const [note, setNote] = useState("");
  const [tried, setTried] = useState(false);
  const minute = time.minuteOf(when, "end");
  const faults = {
    when: minute === null || minute <= time.now ? w.counterLater : null,
    note: note.trim() === "" ? w.reasonNeeded : null,
  };
  const offer = (): void => {
    setTried(true);
    if (minute !== null && faults.when === null && faults.note === null) onOffer(minute, note.trim());
  };
  return (
    <Dialog
      title={w.counterTitle}
      onClose={onClose}
      foot={
        <button type="button" className="button button-main" onClick={offer}>
          {w.counter}
        </button>
      }
    >
      <Field label={w.counterUntil} fault={faults.when}>
        {(control) => <input {...control} type="datetime-local" value={when} onChange={(e) => setWhen(e.target.value)} />}
      </Field>
      <Field label={w.counterReason} fault={tried ? faults.note : null}>
        {(control) => <textarea {...control} rows={3} value={note} onChange={(e) => setNote(e.target.value)} />}
      </Field>
    </Dialog>
  );
}
