/** A word of the trade that explains itself when asked: a small button and a note, closed by Esc or a click elsewhere. */
import { type ReactNode, useId, useRef } from "react";
import type { GlossaryTerm } from "../words/en/glossary.ts";
import { words } from "../words/words.ts";

type NoteProps = {
  readonly title: string;
  readonly text: string;
  readonly className: string;
  readonly label: string;
  readonly children: ReactNode;
};

function Note({ title, text, className, label, children }: NoteProps) {
  const id = useId();
  const note = useRef<HTMLDivElement>(null);
  const place = (button: HTMLElement): void => {
    const box = button.getBoundingClientRect();
    if (!note.current) return;
    note.current.style.left = `${Math.max(8, Math.min(box.left, window.innerWidth - 380))}px`;
    const below = box.bottom + 6;
    if (below + 160 > window.innerHeight) {
      note.current.style.top = "auto";
      note.current.style.bottom = `${window.innerHeight - box.top + 6}px`;
    } else {
      note.current.style.bottom = "auto";
      note.current.style.top = `${below}px`;
    }
  };
  return (
    <>
      <button type="button" className={className} aria-label={label} popoverTarget={id} onClick={(e) => place(e.currentTarget)}>
        {children}
      </button>
      <div className="term-note" id={id} popover="auto" ref={note}>
        <strong>{title}</strong>
        <p>{text}</p>
      </div>
    </>
  );
}

/** The word itself, underlined with dots. */
export function Term({ of, children }: { readonly of: GlossaryTerm; readonly children?: ReactNode }) {
  const { term, text } = words.glossary[of];
  return (
    <Note title={term} text={text} className="term" label={`${term}: ${words.shell.help}`}>
      {children ?? term}
    </Note>
  );
}

/** A question mark beside a field's label. */
export function FieldHelp({ of }: { readonly of: GlossaryTerm }) {
  const { term, text } = words.glossary[of];
  return (
    <Note title={term} text={text} className="field-help no-print" label={`${term}: ${words.shell.help}`}>
      ?
    </Note>
  );
}

/** The same question as a mark, beside a head that is a button already. */
export function HowMark({ label, text }: { readonly label: string; readonly text: string }) {
  return (
    <Note title={label} text={text} className="field-help no-print" label={`${label}: ${words.how.ask}`}>
      ?
    </Note>
  );
}

/** "How is this computed?" */
export function HowComputed({ label, text }: { readonly label: string; readonly text: string }) {
  return (
    <Note title={label} text={text} className="term" label={label}>
      {label}
    </Note>
  );
}
