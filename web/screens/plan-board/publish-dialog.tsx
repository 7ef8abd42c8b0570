/** The publish check: what people will be told. Conflicts left, frozen work that moves, orders that become late, changes by machine and crew. */
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { type PlanChanges, planChangesSchema, versionSchema } from "../../../src/contract/api/plan.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { request } from "../../client/request.ts";
import { Dialog } from "../../parts/dialog.tsx";
import { Failure } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";

type PublishDialogProps = {
  readonly model: BoardModel;
  readonly revision: number;
  readonly unsent: number;
  readonly onPublished: (version: number) => void;
  readonly onClose: () => void;
};

export function PublishDialog({ model, revision, unsent, onPublished, onClose }: PublishDialogProps) {
  const { publish } = words.board;
  const changes = useQuery({
    queryKey: ["plan", "changes", revision],
    queryFn: async ({ signal }) => (await request(planChangesSchema, "/plan/changes", { signal })).value,
    staleTime: 0,
  });
  const [note, setNote] = useState("");
  const [reader, setReader] = useState("");
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<unknown>(null);
  const conflicts = changes.data?.conflicts.length ?? 0;
  const ready = changes.data !== undefined && unsent === 0 && !busy && (conflicts === 0 || reader.trim() !== "");
  const act = async (): Promise<void> => {
    setBusy(true);
    setRefused(null);
    try {
      const body = { note: note.trim(), ...(reader.trim() === "" ? {} : { acknowledgedBy: reader.trim() }) };
      const { value } = await request(versionSchema, "/plan/publish", { method: "POST", body, revision });
      onPublished(value.version);
    } catch (error) {
      setRefused(error);
      setBusy(false);
    }
  };
  return (
    <Dialog
      title={publish.title}
      onClose={onClose}
      foot={
        <>
          <button type="button" className="button" onClick={onClose}>
            {publish.keep}
          </button>
          <button type="button" className="button button-main" disabled={!ready} onClick={() => void act()}>
            {publish.act}
          </button>
        </>
      }
    >
      {unsent > 0 ? <p className="late">{publish.unsent}</p> : null}
      {changes.isPending ? <p role="status">{publish.reading}</p> : null}
      {changes.isError ? <Failure error={changes.error} retry={() => void changes.refetch()} /> : null}
      {changes.data ? <ChangeList changes={changes.data} model={model} /> : null}
      <div className="field">
        <label htmlFor="publish-note">{publish.note}</label>
        <input id="publish-note" value={note} maxLength={1000} onChange={(event) => setNote(event.target.value)} />
      </div>
      {conflicts > 0 ? (
        <div className="field">
          <label htmlFor="publish-reader">{publish.acknowledged}</label>
          <input id="publish-reader" value={reader} maxLength={200} onChange={(event) => setReader(event.target.value)} />
        </div>
      ) : null}
      {refused ? <Failure error={refused} /> : null}
    </Dialog>
  );
}

function ChangeList({ changes, model }: { readonly changes: PlanChanges; readonly model: BoardModel }) {
  const { publish } = words.board;
  const { time } = model.shop;
  const { freeze } = model.shop.problem;
  const frozen = changes.machines
    .flatMap((machine) => machine.changes)
    .filter(({ before }) => before !== null && freeze !== null && before.start < freeze);
  const frozenOnce = [...new Map(frozen.map((change) => [change.operation, change])).values()];
  return (
    <div className="board-changes">
      <p>
        <strong>{publish.changed(changes.changed)}</strong>
      </p>
      <h3>{publish.conflicts}</h3>
      {changes.conflicts.length === 0 ? (
        <p className="quiet">{publish.noConflicts}</p>
      ) : (
        <ul>
          {changes.conflicts.map((conflict) => (
            <li key={`${conflict.kind}-${conflict.resource ?? ""}-${conflict.operations.join()}-${conflict.interval[0]}`}>
              {conflict.sentence}
            </li>
          ))}
        </ul>
      )}
      {frozenOnce.length > 0 ? (
        <>
          <h3>{publish.frozen}</h3>
          <ul>
            {frozenOnce.map(({ operation, sentence }) => (
              <li key={operation}>{sentence}</li>
            ))}
          </ul>
        </>
      ) : null}
      {changes.becomeLate.length > 0 ? (
        <>
          <h3>{publish.becomeLate}</h3>
          <ul>
            {changes.becomeLate.map(({ order, name, late, after }) => (
              <li key={order}>
                {order} {name}: {time.short(after)}, <span className="late">{publish.lateBy(late)}</span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {changes.noLongerLate.length > 0 ? (
        <>
          <h3>{publish.noLonger}</h3>
          <p>{changes.noLongerLate.map(({ order, name }) => `${order} ${name}`).join(", ")}</p>
        </>
      ) : null}
      <Grouped title={publish.crews} groups={changes.crews} />
      <Grouped title={publish.machines} groups={changes.machines} />
    </div>
  );
}

function Grouped({ title, groups }: { readonly title: string; readonly groups: PlanChanges["machines"] }) {
  if (groups.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      {groups.map(({ id, name, changes }) => (
        <details key={id}>
          <summary>
            {id === "" ? words.board.publish.noMachine : name} ({changes.length})
          </summary>
          <ul>
            {changes.map((change) => (
              <li key={change.operation}>{change.sentence}</li>
            ))}
          </ul>
        </details>
      ))}
    </>
  );
}
