/** A modal question or note. Focus goes in, Esc closes, focus comes back: the browser's own dialog does all of it. */
import { type ReactNode, useEffect, useId, useRef } from "react";
import { words } from "../words/words.ts";

type DialogProps = {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
  readonly foot?: ReactNode;
};

export function Dialog({ title, onClose, children, foot }: DialogProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const element = dialog.current;
    if (element && !element.open) element.showModal();
    return () => element?.close();
  }, []);
  return (
    <dialog ref={dialog} aria-labelledby={id} className="slides-in" onClose={onClose} onCancel={onClose}>
      <div className="dialog-head">
        <h2 id={id}>{title}</h2>
        <button type="button" className="icon-button" aria-label={words.shell.close} onClick={onClose}>
          ✕
        </button>
      </div>
      <div className="dialog-body">{children}</div>
      {foot ? <div className="dialog-foot">{foot}</div> : null}
    </dialog>
  );
}

/** Asks before something that cannot be taken back. The dialog's close button, the safe answer, has the focus. */
export function Confirm({
  title,
  text,
  act,
  danger,
  keep,
  onAct,
  onClose,
}: {
  readonly title: string;
  readonly text: ReactNode;
  readonly act: string;
  readonly danger?: boolean;
  readonly keep: string;
  readonly onAct: () => void;
  readonly onClose: () => void;
}) {
  return (
    <Dialog
      title={title}
      onClose={onClose}
      foot={
        <>
          <button type="button" className="button" onClick={onClose}>
            {keep}
          </button>
          <button type="button" className={danger ? "button button-danger" : "button button-main"} onClick={onAct}>
            {act}
          </button>
        </>
      }
    >
      <p>{text}</p>
    </Dialog>
  );
}
