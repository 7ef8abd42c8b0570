/** "Something went wrong" as a dialog: the form, and where there is no board to answer on, the answer as well. */
import type { Problem } from "../../../src/core/problem/problem.ts";
import { Dialog } from "../../parts/dialog.tsx";
import { toast } from "../../parts/toast.tsx";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { TroubleAnswer } from "./trouble-answer.tsx";
import type { About } from "./trouble-draft.ts";
import { TroubleForm } from "./trouble-form.tsx";
import { type Told, useTrouble } from "./use-trouble.ts";
import "./trouble.css";

const FORM = "trouble-form";

/** Only tells; what comes of it is shown elsewhere. */
export function TellTroubleDialog({
  problem,
  time,
  about,
  onTell,
  onClose,
}: {
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly about: About;
  readonly onTell: (told: Told) => void;
  readonly onClose: () => void;
}) {
  const say = words.trouble;
  return (
    <Dialog title={say.title} onClose={onClose} foot={<Foot onNever={onClose} />}>
      <p className="quiet">{say.text}</p>
      <TroubleForm id={FORM} problem={problem} time={time} about={about} onTell={onTell} />
    </Dialog>
  );
}

/** Tells, answers and takes in, all in one place. */
export function TroubleDialog({
  problem,
  time,
  about,
  toPlace,
  onClose,
}: {
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly about: About;
  readonly toPlace: number;
  readonly onClose: () => void;
}) {
  const say = words.trouble;
  const telling = useTrouble();
  const { told } = telling;
  if (told === null)
    return <TellTroubleDialog problem={problem} time={time} about={about} onTell={telling.tell} onClose={onClose} />;
  return (
    <Dialog
      title={told.sentence}
      onClose={onClose}
      foot={
        <button type="button" className="button" onClick={onClose}>
          {say.never}
        </button>
      }
    >
      <div className="trouble-answer">
        <TroubleAnswer
          telling={telling}
          problem={problem}
          time={time}
          toPlace={toPlace}
          onLook={() => {}}
          onTakeIn={(answer) =>
            void telling.takeIn(answer).then((done) => {
              if (!done) return;
              toast(say.taken(told.sentence));
              onClose();
            })
          }
        />
      </div>
    </Dialog>
  );
}

function Foot({ onNever }: { readonly onNever: () => void }) {
  return (
    <>
      <button type="button" className="button" onClick={onNever}>
        {words.trouble.never}
      </button>
      <button type="submit" form={FORM} className="button button-main">
        {words.trouble.ask}
      </button>
    </>
  );
}
