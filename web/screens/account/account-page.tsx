/** One's own account: who the site thinks one is, one's own password, and the way out. */
import { useQueryClient } from "@tanstack/react-query";
import { Link, useNavigate } from "@tanstack/react-router";
import { useState } from "react";
import { useSession } from "../../client/shop.ts";
import { changePassword, signOut } from "../../client/sign-in.ts";
import { Field } from "../../forms/field.tsx";
import { Page, Section } from "../../parts/page.tsx";
import { errorText, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";

const w = words.account;

/** As the contract has it; the server decides. */
const PASSWORD_LEAST = 10;

export function AccountPage() {
  const { user, demoMode } = useSession();
  const client = useQueryClient();
  const navigate = useNavigate();
  if (demoMode || user === null) {
    return (
      <Page narrow title={w.title}>
        <Notice>{demoMode ? w.demo : w.nobody}</Notice>
        {demoMode ? null : (
          <Link className="button" to="/sign-in">
            {words.shell.signIn}
          </Link>
        )}
      </Page>
    );
  }
  const leave = async (): Promise<void> => {
    await signOut();
    client.clear();
    await navigate({ to: "/sign-in" });
  };
  return (
    <Page
      narrow
      title={w.title}
      about={w.about(user.name, words.shell.roles[user.role])}
      actions={
        <button type="button" className="button" onClick={() => void leave()}>
          {words.shell.signOut}
        </button>
      }
    >
      <Section title={w.password}>
        <PasswordForm />
      </Section>
    </Page>
  );
}

function PasswordForm() {
  const [current, setCurrent] = useState("");
  const [next, setNext] = useState("");
  const [again, setAgain] = useState("");
  const [trouble, setTrouble] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const tooShort = next !== "" && next.length < PASSWORD_LEAST ? w.tooShort : null;
  const differs = again !== "" && again !== next ? w.differs : null;
  const ready = current !== "" && next.length >= PASSWORD_LEAST && again === next && !busy;
  const send = async (): Promise<void> => {
    setBusy(true);
    setTrouble(null);
    try {
      await changePassword(current, next);
      for (const clear of [setCurrent, setNext, setAgain]) clear("");
      toast(w.changed);
    } catch (error) {
      const { title, text } = errorText(error);
      setTrouble(text || title);
    } finally {
      setBusy(false);
    }
  };
  return (
    <form
      className="stack"
      style={{ maxWidth: 360 }}
      onSubmit={(event) => {
        event.preventDefault();
        if (ready) void send();
      }}
    >
      {trouble ? <Notice kind="bad">{trouble}</Notice> : null}
      <PasswordField label={w.current} purpose="current-password" value={current} set={setCurrent} fault={null} />
      <PasswordField
        label={w.next}
        purpose="new-password"
        value={next}
        set={setNext}
        fault={tooShort}
        hint={words.start.passwordHint}
      />
      <PasswordField label={w.again} purpose="new-password" value={again} set={setAgain} fault={differs} />
      <p className="quiet">{w.others}</p>
      <div className="row">
        <button type="submit" className="button button-main" disabled={!ready}>
          {w.act}
        </button>
      </div>
    </form>
  );
}

function PasswordField({
  label,
  purpose,
  value,
  set,
  fault,
  hint,
}: {
  readonly label: string;
  readonly purpose: "current-password" | "new-password";
  readonly value: string;
  readonly set: (value: string) => void;
  readonly fault: string | null;
  readonly hint?: string;
}) {
  return (
    <Field label={label} fault={fault} {...(hint === undefined ? {} : { hint })}>
      {(control) => (
        <input {...control} type="password" autoComplete={purpose} value={value} onChange={(event) => set(event.target.value)} />
      )}
    </Field>
  );
}
