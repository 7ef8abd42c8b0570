/** Before which minute nothing could complete the order, whether the answers reach it, and the chain of reasons that decides it. */
import type { QuestionAnswer } from "../../../src/contract/api/question.ts";
import { useSiteTime } from "../../client/shop.ts";
import { words } from "../../words/words.ts";

const w = words.fit.soonest;

type Rush = Pick<QuestionAnswer<"rush">, "answers" | "before" | "soonest">;

/** What the answers leave open below the earliest of them, in words; null: not known yet. */
export function soonestText({ answers, before, soonest }: Rush, say: (minute: number) => string): string | null {
  if (soonest === null) return null;
  if (soonest.finish === null) return w.never;
  const first = answers[0]?.finish;
  if (first !== undefined) return first <= soonest.finish ? w.reached(say(first)) : w.between(say(soonest.finish), say(first));
  if (before.finish === null) return w.between(say(soonest.finish), words.fit.beyond);
  return before.finish <= soonest.finish ? w.standing(say(before.finish)) : w.between(say(soonest.finish), say(before.finish));
}

export function SoonestNote({ rush, titled }: { readonly rush: Rush; readonly titled: boolean }) {
  const time = useSiteTime();
  const text = soonestText(rush, (minute) => time.dayTime(minute));
  if (text === null) return null;
  const reasons = rush.soonest?.reasons ?? [];
  return (
    <>
      {titled ? null : <p className="fit-limit">{text}</p>}
      {reasons.length === 0 ? null : (
        <details className="fit-soonest" open={titled}>
          <summary>{w.why}</summary>
          <p className="quiet">{w.whyAbout}</p>
          <ol className="reason-chain">
            {reasons.map(({ operation, start, end, sentence }, i) => (
              <li key={operation}>
                <span className="step-number" aria-hidden="true">
                  {i + 1}
                </span>
                <span>
                  <strong>{operation}</strong>
                  <br />
                  <span className="quiet">
                    {time.short(start)} - {time.short(end)}
                  </span>
                </span>
                <span>{sentence}</span>
              </li>
            ))}
          </ol>
        </details>
      )}
    </>
  );
}
