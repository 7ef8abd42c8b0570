/** What can be reported about one line of a station's list, as large buttons; only for those who may. */
import { useState } from "react";
import { REPORTERS, useReport } from "../../client/reports.ts";
import { useMay } from "../../client/shop.ts";
import { Confirm } from "../../parts/dialog.tsx";
import { errorText } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";
import { FinishedDialog, StoppedDialog } from "./end-dialogs.tsx";
import { StartDialog } from "./start-dialog.tsx";
import { doneName, entryName, type StationDone, type StationEntry } from "./station-model.ts";

const w = words.stations.report;

/** A large button that says what is reported, and of what. */
function ReportButton({
  act,
  name,
  look = "",
  disabled = false,
  onPress,
}: {
  readonly act: string;
  readonly name: string;
  readonly look?: "" | "button-main" | "button-plain";
  readonly disabled?: boolean;
  readonly onPress: () => void;
}) {
  return (
    <button
      type="button"
      className={`button station-button ${look}`}
      aria-label={w.of(act, name)}
      disabled={disabled}
      onClick={onPress}
    >
      {act}
    </button>
  );
}

/** Work that has not begun. */
export function StartButton({
  entry,
  running,
  first,
}: {
  readonly entry: StationEntry;
  readonly running: StationEntry | null;
  readonly first: boolean;
}) {
  const [open, setOpen] = useState(false);
  if (!useMay(REPORTERS)) return null;
  return (
    <>
      <ReportButton
        act={w.start}
        name={entryName(entry)}
        look={first && running === null ? "button-main" : ""}
        onPress={() => setOpen(true)}
      />
      {open ? <StartDialog entry={entry} running={running} onClose={() => setOpen(false)} /> : null}
    </>
  );
}

/** Work that runs. */
export function RunningButtons({ entry }: { readonly entry: StationEntry }) {
  const [asked, setAsked] = useState<"finished" | "stopped" | "back" | null>(null);
  const report = useReport();
  const may = useMay(REPORTERS);
  const { state } = entry;
  if (!may || state === null) return null;
  const running = { ...entry, state };
  const name = entryName(entry);
  const close = (): void => setAsked(null);
  const goesOn = (): void =>
    report.mutate(
      {
        ...{ kind: "remaining", operation: entry.operation.id, phase: state.phase, remaining: state.remaining, working: true },
        ...(entry.operation.progress.running.length > 1 ? { lot: state.index } : {}),
      },
      { onSuccess: () => toast(w.wentOn(name)), onError: (error) => toast(errorText(error).text) },
    );
  return (
    <div className="station-buttons no-print">
      <ReportButton act={w.finished} name={name} look="button-main" onPress={() => setAsked("finished")} />
      {state.working || state.remaining === 0 ? (
        <ReportButton act={w.stopped} name={name} onPress={() => setAsked("stopped")} />
      ) : (
        <ReportButton act={w.goesOn} name={name} disabled={report.isPending} onPress={goesOn} />
      )}
      <ReportButton act={w.takeBack} name={name} look="button-plain" onPress={() => setAsked("back")} />
      {asked === "finished" ? <FinishedDialog entry={running} onClose={close} /> : null}
      {asked === "stopped" ? <StoppedDialog entry={running} onClose={close} /> : null}
      {asked === "back" ? (
        <TakeBack
          operation={entry.operation.id}
          name={name}
          text={entry.assumed ? w.takeBackAssumed : w.takeBackStart}
          onClose={close}
        />
      ) : null}
    </div>
  );
}

/** The last report about work that is done. */
export function DoneButton({ done }: { readonly done: StationDone }) {
  const [open, setOpen] = useState(false);
  const name = doneName(done);
  if (!useMay(REPORTERS) || !done.last) return null;
  return (
    <>
      <ReportButton act={w.takeBack} name={name} onPress={() => setOpen(true)} />
      {open ? (
        <TakeBack
          operation={done.operation.id}
          name={name}
          text={done.assumed ? w.takeBackAssumed : w.takeBackDone}
          onClose={() => setOpen(false)}
        />
      ) : null}
    </>
  );
}

function TakeBack({
  operation,
  name,
  text,
  onClose,
}: {
  readonly operation: string;
  readonly name: string;
  readonly text: string;
  readonly onClose: () => void;
}) {
  const report = useReport();
  return (
    <Confirm
      title={w.takeBackTitle(name)}
      text={report.error ? errorText(report.error).text : text}
      act={w.takeBack}
      keep={w.keep}
      onAct={() =>
        report.mutate(
          { kind: "withdrawn", operation },
          {
            onSuccess: () => {
              toast(w.back(name));
              onClose();
            },
          },
        )
      }
      onClose={onClose}
    />
  );
}
