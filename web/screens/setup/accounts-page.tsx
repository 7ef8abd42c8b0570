/** Who signs in, with which role. For administrators. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useState } from "react";
import { ROLES, type Role } from "../../../src/contract/api/role.ts";
import { newUserSchema, type UserView } from "../../../src/contract/api/session.ts";
import { accountsQuery, type NewUser, useAccountChanges } from "../../client/accounts.ts";
import { ApiProblem } from "../../client/api-problem.ts";
import { ADMINISTRATORS, useMay, useSession } from "../../client/shop.ts";
import { ChoiceField } from "../../forms/choice-fields.tsx";
import { Field } from "../../forms/field.tsx";
import { at } from "../../forms/lens.ts";
import { TextField } from "../../forms/text-fields.tsx";
import { useForm } from "../../forms/use-form.ts";
import { Confirm, Dialog } from "../../parts/dialog.tsx";
import { Page } from "../../parts/page.tsx";
import { Failure, NoRights } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";

const w = words.setup;
const ROLE_CHOICES = ROLES.map((value) => ({ value, label: `${words.shell.roles[value]}: ${w.roleTexts[value]}` }));

export function AccountsPage() {
  return useMay(ADMINISTRATORS) ? (
    <Accounts />
  ) : (
    <Page narrow title={w.accounts} back={<Link to="/setup">{words.shell.back(w.title)}</Link>}>
      <NoRights roles={ADMINISTRATORS} />
    </Page>
  );
}

function Accounts() {
  const accounts = useSuspenseQuery(accountsQuery).data;
  const me = useSession().user?.id;
  const { change, remove } = useAccountChanges();
  const [adding, setAdding] = useState(false);
  const [removing, setRemoving] = useState<UserView | null>(null);
  return (
    <Page
      narrow
      title={w.accounts}
      about={w.accountsAbout}
      back={<Link to="/setup">{words.shell.back(w.title)}</Link>}
      actions={
        <button type="button" className="button button-main" onClick={() => setAdding(true)}>
          {w.addAccount}
        </button>
      }
    >
      {change.isError ? <Failure error={change.error} /> : null}
      {remove.isError ? <Failure error={remove.error} /> : null}
      <div className="table-frame">
        <table className="table table-inputs">
          <thead>
            <tr>
              <th scope="col">{words.forms.name}</th>
              <th scope="col">{words.start.email}</th>
              <th scope="col">{w.role}</th>
              <th />
            </tr>
          </thead>
          <tbody>
            {accounts.map((account) => (
              <tr key={account.id}>
                <td className="strong">{account.name}</td>
                <td>{account.email}</td>
                <td>
                  <select
                    aria-label={`${w.role}, ${account.name}`}
                    value={account.role}
                    disabled={account.id === me || change.isPending}
                    onChange={(e) =>
                      change.mutate(
                        { id: account.id, body: { role: e.target.value as Role } },
                        { onSuccess: () => toast(words.forms.saved(account.name)) },
                      )
                    }
                  >
                    {ROLE_CHOICES.map(({ value, label }) => (
                      <option key={value} value={value}>
                        {label}
                      </option>
                    ))}
                  </select>
                </td>
                <td className="number">
                  {account.id === me ? null : (
                    <button type="button" className="button button-small button-danger" onClick={() => setRemoving(account)}>
                      {words.forms.deleteIt(w.account)}
                    </button>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {adding ? <AddAccount onClose={() => setAdding(false)} /> : null}
      {removing ? (
        <Confirm
          title={words.forms.deleteTitle(removing.name)}
          text={removing.email}
          act={words.forms.deleteIt(w.account)}
          danger
          keep={words.forms.keep}
          onClose={() => setRemoving(null)}
          onAct={() => {
            remove.mutate(removing.id, { onSuccess: () => toast(words.forms.deleted(removing.name)) });
            setRemoving(null);
          }}
        />
      ) : null}
    </Page>
  );
}

function AddAccount({ onClose }: { readonly onClose: () => void }) {
  const { add } = useAccountChanges();
  const form = useForm<NewUser>(newUserSchema, { name: "", email: "", password: "", role: "operator" });
  const password = at(form.root, "password");
  const save = (): void =>
    form.submit((value) =>
      add.mutate(value, {
        onSuccess: () => {
          toast(words.forms.saved(value.name));
          onClose();
        },
        onError: (error) => {
          if (error instanceof ApiProblem) form.takeFaults(error.faults);
        },
      }),
    );
  return (
    <Dialog
      title={w.addAccount}
      onClose={onClose}
      foot={
        <button type="button" className="button button-main" disabled={add.isPending} onClick={save}>
          {words.forms.create(w.account)}
        </button>
      }
    >
      {add.isError ? <Failure error={add.error} /> : null}
      <TextField label={words.forms.name} lens={at(form.root, "name")} />
      <TextField label={words.start.email} lens={at(form.root, "email")} />
      <Field label={words.start.password} hint={words.start.passwordHint} fault={form.root.form.faultAt(password.path)}>
        {(control) => (
          <input
            {...control}
            type="password"
            autoComplete="new-password"
            value={password.value}
            onChange={(e) => password.set(e.target.value)}
          />
        )}
      </Field>
      <ChoiceField label={w.role} lens={at(form.root, "role")} choices={ROLE_CHOICES} />
    </Dialog>
  );
}
