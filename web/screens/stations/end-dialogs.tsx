/** What is said about work that runs: it is finished, with its bad pieces; it stands still, with what is left to do. */
import { useState } from "react";
import { useReport } from "../../client/reports.ts";
import { useSiteTime } from "../../client/shop.ts";
import { Field } from "../../forms/field.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { Failure } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { durationText, parseDuration } from "../../present/duration.ts";
import { kindOfPhase } from "../../present/segments.ts";
import { words } from "../../words/words.ts";
import { AgoField, minutesAgo } from "./ago-field.tsx";
import { entryName, STEP_NAMES, type StationEntry } from "./station-model.ts";

const w = words.stations.report;

type Running = StationEntry & { readonly state: NonNullable<StationEntry["state"]> };
type EndProps = { readonly entry: Running; readonly onClose: () => void };

/** Needed by the server only where several lots run. */
const which = ({ operation, state }: Running) => (operation.progress.running.length > 1 ? { lot: state.index } : {});

export function FinishedDialog({ entry, onClose }: EndProps) {
  const time = useSiteTime();
  const report = useReport();
  const [ended, setEnded] = useState("0");
  const [scrap, setScrap] = useState("0");
  const [note, setNote] = useState("");
  const { pieces, start } = entry.state;
  const ago = minutesAgo(ended);
  const before = ago !== null && time.now - ago < start;
  const bad = /^\d+$/.test(scrap.trim()) ? Number(scrap) : -1;
  const counted = bad >= 0 && bad <= pieces;
  const name = entryName(entry);
  const step = (by: number) => setScrap(String(Math.min(pieces, Math.max(0, (counted ? bad : 0) + by))));
  return (
    <ReportDialog
      title={w.finishedTitle(name)}
      act={w.finishedAct}
      ready={ago !== null && !before && counted}
      report={report}
      onClose={onClose}
      onAct={() =>
        report.mutate(
          {
            ...{ kind: "done", operation: entry.operation.id, ...which(entry) },
            ...(ago === null || ago === 0 ? {} : { end: time.now - ago }),
            ...(bad > 0 ? { scrap: bad } : {}),
            ...(note.trim() === "" ? {} : { note: note.trim() }),
          },
          { onSuccess: () => said(w.done(name), onClose) },
        )
      }
    >
      <AgoField label={w.when.ended} value={ended} onChange={setEnded} fault={before ? w.notBefore(time.short(start)) : null} />
      <Field label={w.scrap} fault={counted ? null : w.badScrap(pieces)}>
        {(control) => (
          <span className="stepper">
            <button type="button" className="button" aria-label={w.fewer} onClick={() => step(-1)}>
              −
            </button>
            <input {...control} inputMode="numeric" value={scrap} onChange={(event) => setScrap(event.target.value)} />
            <button type="button" className="button" aria-label={w.more} onClick={() => step(1)}>
              +
            </button>
            {counted ? <b>{w.good(pieces - bad, pieces)}</b> : null}
          </span>
        )}
      </Field>
      {bad > 0 ? <p className="quiet">{w.trouble}</p> : null}
      <NoteField label={w.note} note={note} onChange={setNote} />
    </ReportDialog>
  );
}

export function StoppedDialog({ entry, onClose }: EndProps) {
  const report = useReport();
  const [phase, setPhase] = useState(entry.state.phase);
  const [left, setLeft] = useState(durationText(entry.state.remaining));
  const [note, setNote] = useState("");
  const minutes = parseDuration(left);
  const name = entryName(entry);
  const phases = entry.mode.phases.map((one, index) => ({ index, name: STEP_NAMES[kindOfPhase(one)] }));
  return (
    <ReportDialog
      title={w.stoppedTitle(name)}
      act={w.stoppedAct}
      ready={minutes !== null}
      report={report}
      onClose={onClose}
      onAct={() =>
        report.mutate(
          {
            ...{ kind: "remaining", operation: entry.operation.id, ...which(entry) },
            ...{ phase, remaining: minutes ?? 0, working: false },
            ...(note.trim() === "" ? {} : { note: note.trim() }),
          },
          { onSuccess: () => said(w.stood(name), onClose) },
        )
      }
    >
      <Field label={w.phase} fault={null}>
        {(control) => (
          <select {...control} value={phase} onChange={(event) => setPhase(Number(event.target.value))}>
            {phases.map((one) => (
              <option key={one.index} value={one.index}>
                {one.index + 1}. {one.name}
              </option>
            ))}
          </select>
        )}
      </Field>
      <Field label={w.remaining} hint={w.remainingHint} fault={minutes === null ? w.badDuration : null}>
        {(control) => <input {...control} value={left} onChange={(event) => setLeft(event.target.value)} />}
      </Field>
      <NoteField label={w.why} note={note} onChange={setNote} />
    </ReportDialog>
  );
}

function said(text: string, onClose: () => void): void {
  toast(text);
  onClose();
}

function NoteField(props: { readonly label: string; readonly note: string; readonly onChange: (note: string) => void }) {
  return (
    <Field label={props.label} fault={null}>
      {(control) => (
        <input {...control} maxLength={500} value={props.note} onChange={(event) => props.onChange(event.target.value)} />
      )}
    </Field>
  );
}

function ReportDialog({
  title,
  act,
  ready,
  report,
  onAct,
  onClose,
  children,
}: {
  readonly title: string;
  readonly act: string;
  readonly ready: boolean;
  readonly report: Pick<ReturnType<typeof useReport>, "isPending" | "error">;
  readonly onAct: () => void;
  readonly onClose: () => void;
  readonly children: React.ReactNode;
}) {
  return (
    <Dialog
      title={title}
      onClose={onClose}
      foot={
        <>
          <button type="button" className="button" onClick={onClose}>
            {w.keep}
          </button>
          <button type="button" className="button button-main" disabled={!ready || report.isPending} onClick={onAct}>
            {act}
          </button>
        </>
      }
    >
      <div className="station-report">
        {children}
        {report.error ? <Failure error={report.error} /> : null}
      </div>
    </Dialog>
  );
}
