/** Short questions of the board: why frozen work moves, whether to take work out, which date to go to - and the keys. */
import { useState } from "react";
import { Confirm, Dialog } from "../../parts/dialog.tsx";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

export function FrozenDialog({
  number,
  until,
  onMove,
  onClose,
}: {
  readonly number: string;
  readonly until: string;
  readonly onMove: (reason: string) => void;
  readonly onClose: () => void;
}) {
  const { frozen } = words.board;
  const [reason, setReason] = useState("");
  return (
    <Dialog
      title={frozen.title}
      onClose={onClose}
      foot={
        <>
          <button type="button" className="button" onClick={onClose}>
            {frozen.keep}
          </button>
          <button
            type="button"
            className="button button-danger"
            disabled={reason.trim() === ""}
            onClick={() => onMove(reason.trim())}
          >
            {frozen.act}
          </button>
        </>
      }
    >
      <p>{frozen.text(number, until)}</p>
      <div className="field">
        <label htmlFor="frozen-reason">{frozen.reason}</label>
        <input id="frozen-reason" value={reason} maxLength={200} onChange={(event) => setReason(event.target.value)} />
      </div>
    </Dialog>
  );
}

export function RemoveDialog({
  number,
  onRemove,
  onClose,
}: {
  readonly number: string;
  readonly onRemove: () => void;
  readonly onClose: () => void;
}) {
  const { remove } = words.board;
  return (
    <Confirm
      title={remove.title}
      text={remove.text(number)}
      act={remove.act}
      keep={remove.keep}
      danger
      onAct={onRemove}
      onClose={onClose}
    />
  );
}

export function GoToDialog({
  time,
  onGo,
  onClose,
}: {
  readonly time: SiteTime;
  readonly onGo: (minute: number) => void;
  readonly onClose: () => void;
}) {
  const { goTo } = words.board;
  const [date, setDate] = useState("");
  const minute = date === "" ? null : time.minuteOf(date, "begin");
  return (
    <Dialog
      title={goTo.title}
      onClose={onClose}
      foot={
        <>
          <button type="button" className="button" onClick={onClose}>
            {goTo.keep}
          </button>
          <button type="submit" form="go-to" className="button button-main" disabled={minute === null}>
            {goTo.act}
          </button>
        </>
      }
    >
      <form
        id="go-to"
        className="field"
        onSubmit={(event) => {
          event.preventDefault();
          if (minute !== null) onGo(minute);
        }}
      >
        <label htmlFor="go-to-date">
          {goTo.date} ({time.zone})
        </label>
        <input id="go-to-date" type="date" value={date} onChange={(event) => setDate(event.target.value)} />
      </form>
    </Dialog>
  );
}

export function KeysDialog({ onClose }: { readonly onClose: () => void }) {
  const { keys } = words.board;
  return (
    <Dialog title={keys.title} onClose={onClose}>
      <p className="quiet">{keys.text}</p>
      <table className="table">
        <tbody>
          {keys.list.map(([key, does]) => (
            <tr key={key}>
              <th scope="row">
                <code>{key}</code>
              </th>
              <td>{does}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Dialog>
  );
}
