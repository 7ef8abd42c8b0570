/** A start, with every checklist it needs gone through by name before it can be reported. */
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { startCautionsQuery, useReport } from "../../client/reports.ts";
import { useSiteTime } from "../../client/shop.ts";
import { Field } from "../../forms/field.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { Failure, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";
import { CautionChecks, useCautionAnswers } from "../publishing/caution-checks.tsx";
import "../publishing/publishing.css";
import { AgoField, minutesAgo } from "./ago-field.tsx";
import { entryName, type StationEntry } from "./station-model.ts";

const w = words.stations;

export function StartDialog({
  entry,
  running,
  onClose,
}: {
  readonly entry: StationEntry;
  /** What still counts as running on the machine. */
  readonly running: StationEntry | null;
  readonly onClose: () => void;
}) {
  const time = useSiteTime();
  const report = useReport();
  const cautions = useQuery(startCautionsQuery(entry.operation.id));
  const answers = useCautionAnswers(cautions.data ?? []);
  const [began, setBegan] = useState("0");
  const [pieces, setPieces] = useState(String(entry.pieces));
  const ago = minutesAgo(began);
  const most = piecesMost(entry);
  const wanted = /^\d+$/.test(pieces.trim()) ? Number(pieces) : 0;
  const fits = wanted >= 1 && wanted <= most;
  const ready = ago !== null && fits && cautions.data !== undefined && answers.ready && !report.isPending;
  const name = entryName(entry);
  const act = (): void => {
    if (ago === null || cautions.data === undefined) return;
    report.mutate(
      {
        ...{ kind: "started", operation: entry.operation.id, mode: entry.mode.id },
        ...(entry.operation.split === null ? {} : { pieces: wanted }),
        ...(ago === 0 ? {} : { start: time.now - ago }),
        ...(answers.body.length === 0 ? {} : { cautions: [...answers.body] }),
      },
      {
        onSuccess: () => {
          toast(w.report.started(name));
          onClose();
        },
      },
    );
  };
  return (
    <Dialog
      title={w.report.startTitle(name)}
      onClose={onClose}
      foot={
        <>
          <button type="button" className="button" onClick={onClose}>
            {w.report.keep}
          </button>
          <button type="button" className="button button-main" disabled={!ready} onClick={act}>
            {w.report.startAct}
          </button>
        </>
      }
    >
      <div className="station-report">
        <p>
          <b>{entry.order.name}</b>, {w.pieces(entry.pieces)}
          {entry.family === null ? "" : `, ${w.family(entry.family)}`}
          {entry.fetch.length > 0 ? <span className="quiet"> {entry.fetch.join(", ")}</span> : null}
        </p>
        {running === null ? null : <Notice>{w.report.stillRunning(entryName(running))}</Notice>}
        <AgoField label={w.report.when.began} value={began} onChange={setBegan} />
        {entry.operation.split === null ? null : (
          <Field label={w.report.pieces} fault={fits ? null : w.report.badPieces(most)}>
            {(control) => (
              <input {...control} inputMode="numeric" value={pieces} onChange={(event) => setPieces(event.target.value)} />
            )}
          </Field>
        )}
        {cautions.isPending ? <p role="status">{w.report.readingCautions}</p> : null}
        {cautions.isError ? <Failure error={cautions.error} retry={() => void cautions.refetch()} /> : null}
        {cautions.data?.length === 0 ? <p className="quiet">{w.report.noCautions}</p> : null}
        <CautionChecks cautions={cautions.data ?? []} answers={answers} about={words.publishing.caution.startAbout} />
        {report.error ? <Failure error={report.error} /> : null}
      </div>
    </Dialog>
  );
}

/** All that have not begun in other lots. */
function piecesMost({ operation: { pieces, progress } }: StationEntry): number {
  return pieces - [...progress.done, ...progress.running].reduce((sum, lot) => sum + lot.pieces, 0);
}
