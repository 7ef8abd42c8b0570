/** The publish check: what people will be told, and the checklists of work that needs care. Who may not publish proposes here. */
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { versionSchema } from "../../../src/contract/api/plan.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { propose, publishCheckQuery } from "../../client/publishing.ts";
import { request } from "../../client/request.ts";
import { Dialog } from "../../parts/dialog.tsx";
import { Failure, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";
import { CautionChecks, useCautionAnswers } from "../publishing/caution-checks.tsx";
import { ChangeList } from "../publishing/change-list.tsx";
import "../publishing/publishing.css";

type PublishDialogProps = {
  readonly model: BoardModel;
  readonly revision: number;
  readonly unsent: number;
  readonly onPublished: (version: number) => void;
  readonly onClose: () => void;
};

export function PublishDialog({ model, revision, unsent, onPublished, onClose }: PublishDialogProps) {
  const { publish } = words.board;
  const w = words.publishing;
  const check = useQuery(publishCheckQuery(revision));
  const answers = useCautionAnswers(check.data?.cautions ?? []);
  const [note, setNote] = useState("");
  const [reader, setReader] = useState("");
  const [proposing, setProposing] = useState(false);
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<unknown>(null);
  const conflicts = check.data?.conflicts.length ?? 0;
  const only = check.data?.mayPublish === false;
  const asProposal = proposing || only;
  const named = conflicts === 0 || reader.trim() !== "";
  const known = check.data !== undefined && unsent === 0 && !busy;
  const ready = asProposal ? known && note.trim() !== "" : known && named && answers.ready;
  // A button that cannot be pressed yet says what it waits for.
  const needs = !known
    ? []
    : asProposal
      ? note.trim() === ""
        ? [publish.needsNote]
        : []
      : [...(answers.ready ? [] : [publish.needsLists(answers.open)]), ...(named ? [] : [publish.needsReader])];
  const act = async (): Promise<void> => {
    setBusy(true);
    setRefused(null);
    try {
      if (asProposal) {
        await propose(note.trim(), revision);
        toast(w.proposed);
        onClose();
        return;
      }
      const body = {
        note: note.trim(),
        cautions: answers.body,
        ...(reader.trim() === "" ? {} : { acknowledgedBy: reader.trim() }),
      };
      const { value } = await request(versionSchema, "/plan/publish", { method: "POST", body, revision });
      onPublished(value.version);
    } catch (error) {
      setRefused(error);
      setBusy(false);
    }
  };
  return (
    <Dialog
      title={asProposal ? w.proposeTitle : publish.title}
      onClose={onClose}
      foot={
        <>
          {needs.length > 0 ? <p className="quiet dialog-needs">{publish.needs(needs)}</p> : null}
          <button type="button" className="button" onClick={onClose}>
            {publish.keep}
          </button>
          {only ? null : (
            <button type="button" className="button" aria-pressed={proposing} onClick={() => setProposing(!proposing)}>
              {w.propose}
            </button>
          )}
          <button type="button" className="button button-main" disabled={!ready} onClick={() => void act()}>
            {asProposal ? w.proposeAct : publish.act}
          </button>
        </>
      }
    >
      {unsent > 0 ? <p className="late">{publish.unsent}</p> : null}
      {check.isPending ? <p role="status">{publish.reading}</p> : null}
      {check.isError ? <Failure error={check.error} retry={() => void check.refetch()} /> : null}
      {only ? <Notice>{w.mayNot}</Notice> : null}
      {check.data ? <ChangeList changes={check.data} time={model.shop.time} freeze={model.shop.problem.freeze} /> : null}
      {asProposal ? null : <CautionChecks cautions={check.data?.cautions ?? []} answers={answers} />}
      <div className="field">
        <label htmlFor="publish-note">{asProposal ? w.proposeNote : publish.note}</label>
        <input id="publish-note" value={note} maxLength={1000} onChange={(event) => setNote(event.target.value)} />
      </div>
      {conflicts > 0 && !asProposal ? (
        <div className="field">
          <label htmlFor="publish-reader">{publish.acknowledged}</label>
          <input id="publish-reader" value={reader} maxLength={200} onChange={(event) => setReader(event.target.value)} />
        </div>
      ) : null}
      {refused ? <Failure error={refused} /> : null}
    </Dialog>
  );
}
