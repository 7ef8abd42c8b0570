/** Answers side by side: measures as rows, answers as columns, the best of each row marked, one action under each. */
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import { HowComputed } from "../../parts/term.tsx";
import { words } from "../../words/words.ts";
import { labelOf, type Measure } from "./fit-model.ts";

const w = words.fit;

type FitTableProps = {
  readonly answers: readonly FitAnswer[];
  readonly measures: readonly Measure[];
  readonly chosen: number;
  readonly mayAdopt: boolean;
  readonly onChoose: (index: number) => void;
  /** Looked at while the pointer is on it. */
  readonly onPeek: (index: number | null) => void;
  readonly onAdopt: (index: number) => void;
};

export function FitTable({ answers, measures, chosen, mayAdopt, onChoose, onPeek, onAdopt }: FitTableProps) {
  return (
    <div className="table-frame">
      <table className="table fit-table">
        <thead>
          <tr>
            <td />
            {answers.map((fit, i) => (
              <th
                key={keyOf(fit)}
                scope="col"
                data-chosen={i === chosen || undefined}
                onPointerEnter={() => onPeek(i)}
                onPointerLeave={() => onPeek(null)}
              >
                <label className="check">
                  <input type="radio" name="fit-answer" checked={i === chosen} onChange={() => onChoose(i)} />
                  <span>{labelOf(fit)}</span>
                </label>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {measures.map(({ key, label, how, cells }) => (
            <tr key={key}>
              <th scope="row">{how === null ? label : <HowComputed label={label} text={how} />}</th>
              {cells.map((cell, i) => (
                <td
                  key={keyOf(answers[i] as FitAnswer)}
                  data-chosen={i === chosen || undefined}
                  data-best={cell.best || undefined}
                  className={cell.tone === "late" ? "late" : undefined}
                >
                  {cell.lines.map((line) => (
                    <div key={line}>{line}</div>
                  ))}
                  {cell.best ? <small className="fit-best">{w.best}</small> : null}
                </td>
              ))}
            </tr>
          ))}
          {mayAdopt ? (
            <tr className="fit-acts">
              <td />
              {answers.map((fit, i) => (
                <td key={keyOf(fit)} data-chosen={i === chosen || undefined}>
                  <button
                    type="button"
                    className={i === chosen ? "button button-main" : "button"}
                    aria-label={w.adoptNamed(labelOf(fit))}
                    onClick={() => onAdopt(i)}
                  >
                    {w.adopt}
                  </button>
                </td>
              ))}
            </tr>
          ) : null}
        </tbody>
      </table>
    </div>
  );
}

export const keyOf = ({ finish, lateness, movement, ordersMoved, told, nightMinutesChange, cuts }: FitAnswer): string =>
  [finish, lateness, movement, ordersMoved, told, nightMinutesChange, cuts.length].join(" ");
