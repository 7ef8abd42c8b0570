/** Adopting: what becomes one step of the draft, said before it does. */
import { useNavigate } from "@tanstack/react-router";
import type { ScenarioColumn, ScenarioHead } from "../../../src/contract/api/scenario.ts";
import { useScenarioChanges } from "../../client/scenarios.ts";
import { Dialog } from "../../parts/dialog.tsx";
import { Failure } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";

const w = words.scenarios.adopt;

type AdoptProps = {
  readonly head: ScenarioHead;
  readonly column: ScenarioColumn | undefined;
  readonly draftRevision: number;
  readonly onClose: () => void;
};

export function AdoptDialog({ head, column, draftRevision, onClose }: AdoptProps) {
  const navigate = useNavigate();
  const { adopt } = useScenarioChanges();
  const conflicts = column?.measures?.conflicts ?? 0;
  // An adopted scenario leaves the list, and this dialog with it: so what follows hangs on the promise, not on the dialog.
  const act = (): void =>
    void adopt
      .mutateAsync({ id: head.id, draftRevision })
      .then(() => {
        toast(w.done(head.name));
        onClose();
        return navigate({ to: "/" });
      })
      .catch(() => undefined);
  return (
    <Dialog
      title={w.title(head.name)}
      onClose={onClose}
      foot={
        <>
          <button type="button" className="button" onClick={onClose}>
            {w.keep}
          </button>
          <button type="button" className="button button-main" disabled={adopt.isPending} onClick={act}>
            {w.act}
          </button>
        </>
      }
    >
      <p>{w.text(head.changes, column?.movedCount ?? 0)}</p>
      {head.planned === "planned" ? null : <p className="late">{w.unplanned}</p>}
      {conflicts > 0 ? <p className="bad">{w.conflicts(conflicts)}</p> : null}
      {adopt.isError ? <Failure error={adopt.error} /> : null}
    </Dialog>
  );
}
