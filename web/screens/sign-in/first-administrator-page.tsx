/** The one-time link of a new site: whoever opens it becomes its administrator. */
import { useQueryClient } from "@tanstack/react-query";
import { useNavigate, useSearch } from "@tanstack/react-router";
import { useState } from "react";
import { firstAdministratorSchema } from "../../../src/contract/api/session.ts";
import { ApiProblem } from "../../client/api-problem.ts";
import { becomeAdministrator, signIn } from "../../client/sign-in.ts";
import { Field } from "../../forms/field.tsx";
import { at } from "../../forms/lens.ts";
import { TextField } from "../../forms/text-fields.tsx";
import { useForm } from "../../forms/use-form.ts";
import { Page } from "../../parts/page.tsx";
import { errorText, Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";

const w = words.start;

export function FirstAdministratorPage() {
  const search: { readonly token?: unknown } = useSearch({ strict: false });
  const token = typeof search.token === "string" ? search.token : "";
  const client = useQueryClient();
  const navigate = useNavigate();
  const form = useForm(firstAdministratorSchema, { token, name: "", email: "", password: "" });
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const password = at(form.root, "password");

  const save = (): void =>
    form.submit((value) => {
      setBusy(true);
      setTrouble(null);
      becomeAdministrator(value)
        .then(() => signIn(value.email, value.password))
        .then(() => {
          client.clear();
          return navigate({ to: "/" });
        })
        .catch((error: unknown) => {
          if (error instanceof ApiProblem) form.takeFaults(error.faults);
          setTrouble(errorText(error).text || errorText(error).title);
        })
        .finally(() => setBusy(false));
    });

  return (
    <Page narrow title={w.firstTitle} about={w.firstAbout}>
      {token === "" ? (
        <Notice kind="bad">{w.noToken}</Notice>
      ) : (
        <form
          className="stack"
          style={{ maxWidth: 400 }}
          noValidate
          onSubmit={(event) => {
            event.preventDefault();
            save();
          }}
        >
          {trouble ? <Notice kind="bad">{trouble}</Notice> : null}
          <TextField label={w.firstName} lens={at(form.root, "name")} />
          <TextField label={w.email} lens={at(form.root, "email")} />
          <Field label={w.password} hint={w.passwordHint} fault={form.root.form.faultAt(password.path)}>
            {(control) => (
              <input
                {...control}
                type="password"
                autoComplete="new-password"
                value={password.value}
                onChange={(e) => password.set(e.target.value)}
                onBlur={() => form.root.form.touch(password.path)}
              />
            )}
          </Field>
          <div className="row">
            <button type="submit" className="button button-main" disabled={busy}>
              {w.firstAct}
            </button>
          </div>
        </form>
      )}
    </Page>
  );
}
