/** Signing in with an e-mail address and a password. */
import { useQueryClient } from "@tanstack/react-query";
import { useNavigate } from "@tanstack/react-router";
import { useState } from "react";
import { ApiProblem } from "../../client/api-problem.ts";
import { useSession } from "../../client/shop.ts";
import { signIn } from "../../client/sign-in.ts";
import { Field } from "../../forms/field.tsx";
import { Page } from "../../parts/page.tsx";
import { errorText, Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";

const w = words.start;

export function SignInPage() {
  const session = useSession();
  const client = useQueryClient();
  const navigate = useNavigate();
  const [email, setEmail] = useState("");
  const [password, setPassword] = useState("");
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);

  const enter = async (): Promise<void> => {
    setBusy(true);
    setTrouble(null);
    try {
      await signIn(email, password);
      client.clear();
      await navigate({ to: "/" });
    } catch (error) {
      setTrouble(error instanceof ApiProblem && error.status === 401 ? w.wrong : errorText(error).text || errorText(error).title);
    } finally {
      setBusy(false);
    }
  };

  return (
    <Page narrow title={w.signInTitle} about={w.signInAbout(session.site.name)}>
      <form
        className="stack"
        style={{ maxWidth: 360 }}
        onSubmit={(event) => {
          event.preventDefault();
          void enter();
        }}
      >
        {trouble ? <Notice kind="bad">{trouble}</Notice> : null}
        <Field label={w.email} fault={null}>
          {(control) => (
            <input
              {...control}
              type="email"
              autoComplete="username"
              required
              value={email}
              onChange={(e) => setEmail(e.target.value)}
            />
          )}
        </Field>
        <Field label={w.password} fault={null}>
          {(control) => (
            <input
              {...control}
              type="password"
              autoComplete="current-password"
              required
              value={password}
              onChange={(e) => setPassword(e.target.value)}
            />
          )}
        </Field>
        <div className="row">
          <button type="submit" className="button button-main" disabled={busy}>
            {w.signInAct}
          </button>
        </div>
        <p className="quiet">{w.noAccount}</p>
      </form>
    </Page>
  );
}
