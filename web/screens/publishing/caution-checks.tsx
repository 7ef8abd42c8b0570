/** Checklists to go through and sign by name: before publishing, and before a start. Says nothing about safety; people do. */
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import type { Acknowledgement, CautionView } from "../../../src/contract/api/caution.ts";
import { sessionQuery } from "../../client/shop.ts";
import { words } from "../../words/words.ts";

const w = words.publishing.caution;

type Answer = { readonly ticked: readonly boolean[]; readonly by: string };
export type CautionAnswers = {
  readonly answerTo: (caution: CautionView) => Answer;
  readonly change: (caution: CautionView, change: Partial<Answer>) => void;
  /** Every point ticked, every list named. */
  readonly ready: boolean;
  /** Lists that are not. */
  readonly open: number;
  readonly body: readonly Acknowledgement[];
};

/** Answers belong to a wording: when a list changes they are asked anew. */
const keyOf = ({ id, items, operations }: CautionView): string => JSON.stringify([id, items, operations]);

export function useCautionAnswers(cautions: readonly CautionView[]): CautionAnswers {
  const session = useQuery(sessionQuery).data;
  const own = session?.user && !session.demoMode ? session.user.name : "";
  const [answers, setAnswers] = useState<Readonly<Record<string, Answer>>>({});
  const answerTo = (caution: CautionView): Answer =>
    answers[keyOf(caution)] ?? { ticked: caution.items.map(() => false), by: own };
  const open = cautions.filter((caution) => {
    const { ticked, by } = answerTo(caution);
    return by.trim() === "" || caution.items.some((_, i) => ticked[i] !== true);
  }).length;
  return {
    answerTo,
    change: (caution, change) =>
      setAnswers((old) => ({ ...old, [keyOf(caution)]: { ...answerTo(caution), ...old[keyOf(caution)], ...change } })),
    ready: open === 0,
    open,
    body: cautions.map((caution) => ({ caution: caution.id, by: answerTo(caution).by.trim(), items: caution.items })),
  };
}

export function CautionChecks({
  cautions,
  answers,
  about = w.about,
}: {
  readonly cautions: readonly CautionView[];
  readonly answers: CautionAnswers;
  readonly about?: string;
}) {
  if (cautions.length === 0) return null;
  return (
    <section className="cautions" aria-labelledby="cautions-title">
      <h3 id="cautions-title">
        <CautionMark /> {w.title}
      </h3>
      <p>{about}</p>
      {cautions.map((caution) => (
        <CautionCheck key={caution.id} caution={caution} answers={answers} />
      ))}
      <p className="quiet">{w.allTicked}</p>
    </section>
  );
}

function CautionCheck({ caution, answers }: { readonly caution: CautionView; readonly answers: CautionAnswers }) {
  const { ticked, by } = answers.answerTo(caution);
  return (
    <fieldset className="caution">
      <legend>{caution.title}</legend>
      <p className="quiet">{caution.sentence}</p>
      <ul>
        {caution.items.map((item, i) => (
          <li key={item}>
            <label className="check">
              <input
                type="checkbox"
                checked={ticked[i] ?? false}
                onChange={(event) =>
                  answers.change(caution, {
                    ticked: caution.items.map((_, j) => (j === i ? event.target.checked : (ticked[j] ?? false))),
                  })
                }
              />
              <span>{item}</span>
            </label>
          </li>
        ))}
      </ul>
      <div className="field">
        <label htmlFor={`caution-${caution.id}`}>{w.by}</label>
        <input
          id={`caution-${caution.id}`}
          value={by}
          maxLength={200}
          autoComplete="off"
          onChange={(event) => answers.change(caution, { by: event.target.value })}
        />
      </div>
    </fieldset>
  );
}

/** A sign in a frame; the words beside it say the same. */
export function CautionMark() {
  return (
    <svg className="caution-mark" viewBox="0 0 16 14" aria-hidden="true">
      <path d="M8 1 15 13H1z" fill="none" stroke="currentColor" strokeWidth="1.6" strokeLinejoin="round" />
      <path d="M8 5.2v4M8 10.4v1.4" stroke="currentColor" strokeWidth="1.8" />
    </svg>
  );
}
