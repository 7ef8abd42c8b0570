/** A new scenario: a name, and what it begins with. */
import { useNavigate } from "@tanstack/react-router";
import { type FormEvent, useId, useState } from "react";
import type { ScenarioHead } from "../../../src/contract/api/scenario.ts";
import { useScenarioChanges } from "../../client/scenarios.ts";
import { Dialog } from "../../parts/dialog.tsx";
import { Failure } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";

const w = words.scenarios;

type NewProps = { readonly heads: readonly ScenarioHead[]; readonly from?: ScenarioHead; readonly onClose: () => void };

export function NewScenarioDialog({ heads, from, onClose }: NewProps) {
  const navigate = useNavigate();
  const { add } = useScenarioChanges();
  const id = useId();
  const [name, setName] = useState(from === undefined ? "" : w.page.branchName(from.name).slice(0, 120));
  const [base, setBase] = useState(from?.id ?? "");
  const create = (event: FormEvent): void => {
    event.preventDefault();
    if (name.trim() === "") return;
    add.mutate(
      { name: name.trim(), from: base === "" ? null : base },
      {
        onSuccess: (made) => {
          toast(w.created(made.name));
          void navigate({ to: "/scenarios/$id", params: { id: made.id } });
          onClose();
        },
      },
    );
  };
  return (
    <Dialog
      title={w.newTitle}
      onClose={onClose}
      foot={
        <button type="submit" form={id} className="button button-main" disabled={add.isPending || name.trim() === ""}>
          {w.create}
        </button>
      }
    >
      <form id={id} onSubmit={create} className="stack">
        <div className="field">
          <label htmlFor={`${id}-name`}>{w.name}</label>
          <input
            id={`${id}-name`}
            value={name}
            maxLength={120}
            aria-describedby={`${id}-hint`}
            onChange={(e) => setName(e.target.value)}
          />
          <span className="field-hint" id={`${id}-hint`}>
            {w.nameHint}
          </span>
        </div>
        <div className="field">
          <label htmlFor={`${id}-from`}>{w.from}</label>
          <select id={`${id}-from`} value={base} onChange={(e) => setBase(e.target.value)}>
            <option value="">{w.draft}</option>
            {[...new Map([...heads, ...(from ? [from] : [])].map((head) => [head.id, head])).values()].map((head) => (
              <option key={head.id} value={head.id}>
                {head.name}
              </option>
            ))}
          </select>
        </div>
      </form>
      {add.isError ? <Failure error={add.error} /> : null}
    </Dialog>
  );
}
