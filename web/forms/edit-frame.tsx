/** Around every form that saves to the server: what is wrong, whose version is newer, the save bar, the guard against leaving. */
import { useBlocker } from "@tanstack/react-router";
import { type ReactNode, useEffect, useRef } from "react";
import { ApiProblem } from "../client/api-problem.ts";
import { Confirm } from "../parts/dialog.tsx";
import { errorText, Notice } from "../parts/states.tsx";
import { words } from "../words/words.ts";
import { placeText } from "./place-text.ts";
import type { Editing } from "./use-editing.ts";

type FrameProps<T> = {
  readonly editing: Editing<T>;
  readonly readOnly: boolean;
  /** Something new: saving creates it. */
  readonly isNew?: boolean;
  /** "order": said on the buttons. */
  readonly what: string;
  readonly children: ReactNode;
};

export function EditFrame<T>({ editing, readOnly, isNew = false, what, children }: FrameProps<T>) {
  const { form, saving, refusal, stale } = editing;
  const w = words.forms;
  const frame = useRef<HTMLFormElement>(null);
  const blocker = useBlocker({
    shouldBlockFn: () => editing.guarded(),
    enableBeforeUnload: () => editing.guarded(),
    withResolver: true,
  });

  const shown = form.submitted || refusal instanceof ApiProblem ? form.faults : [];
  const save = (): void => {
    editing.save();
    // To the first field that is wrong, once its fault is on screen.
    requestAnimationFrame(() => frame.current?.querySelector<HTMLElement>("[aria-invalid=true]")?.focus());
  };

  const latestSave = useRef(save);
  latestSave.current = save;
  useEffect(() => {
    if (readOnly) return;
    const onKey = (event: KeyboardEvent): void => {
      if (event.key.toLowerCase() !== "s" || !(event.ctrlKey || event.metaKey)) return;
      event.preventDefault();
      latestSave.current();
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  }, [readOnly]);

  const visible = !readOnly && (form.changed || isNew);
  return (
    <form
      ref={frame}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        save();
      }}
    >
      {children}
      {stale ? (
        <Notice
          kind="warn"
          title={w.staleTitle}
          actions={
            <>
              <button type="button" className="button" onClick={editing.takeTheirs}>
                {w.takeTheirs}
              </button>
              <button type="button" className="button" onClick={editing.saveMine}>
                {w.saveMine}
              </button>
            </>
          }
        >
          {w.stale}
        </Notice>
      ) : null}
      {refusal ? (
        <Notice kind="bad" title={w.refusedTitle}>
          {errorText(refusal).text || errorText(refusal).title}
        </Notice>
      ) : null}
      {shown.length > 0 ? (
        <Notice kind="bad" title={w.faultsTitle(shown.length)}>
          <ul>
            {shown.slice(0, 12).map(({ pointer, message }) => (
              <li key={`${pointer}${message}`}>
                {pointer === "" ? "" : <strong>{placeText(pointer)}: </strong>}
                {message}
              </li>
            ))}
          </ul>
        </Notice>
      ) : null}
      {visible ? (
        <div className="save-bar">
          <button type="submit" className="button button-main" disabled={saving} aria-keyshortcuts="Control+S">
            {saving ? `${w.saving} …` : isNew ? w.create(what) : w.save(what)}
          </button>
          {isNew ? null : (
            <button type="button" className="button" disabled={saving} onClick={editing.discard}>
              {w.discard}
            </button>
          )}
          <span className="quiet">{isNew && !form.changed ? "" : w.changedNote}</span>
        </div>
      ) : null}
      {blocker.status === "blocked" ? (
        <Confirm
          title={w.leaveTitle}
          text={w.leave}
          act={w.leaveIt}
          danger
          keep={w.stay}
          onAct={blocker.proceed}
          onClose={blocker.reset}
        />
      ) : null}
    </form>
  );
}
