/** What an estimate is made of: each part with its formula, figures on the way, three points, the source. */
import { type Estimate, type Estimator, minutesOf } from "../../../src/core/estimate/estimate.ts";
import { numberText } from "../../present/amounts.ts";
import { durationText, secondsText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";

const w = words.rigs;

/** Parts may be seconds long; whole planning minutes are made of their sum only. */
const partText = (seconds: number): string =>
  seconds < 600 ? secondsText(Math.round(seconds)) : durationText(Math.round(seconds / 60));

export function EstimateWorking({ estimator, estimate }: { readonly estimator: Estimator; readonly estimate: Estimate }) {
  const { working, figures, bestSeconds, likelySeconds, worstSeconds } = estimate;
  const shown = working.filter(({ seconds }) => seconds > 0);
  return (
    <div className="estimate-working">
      <div className="table-frame">
        <table className="table">
          <thead>
            <tr>
              <th scope="col">{w.working}</th>
              <th scope="col">{w.formula}</th>
              <th scope="col" className="number">
                {words.orders.fields.work}
              </th>
            </tr>
          </thead>
          <tbody>
            {shown.map(({ label, formula, seconds }) => (
              <tr key={label}>
                <th scope="row">{label}</th>
                <td>{formula}</td>
                <td className="number">{partText(seconds)}</td>
              </tr>
            ))}
            <tr className="estimate-total">
              <th scope="row">{w.total}</th>
              <td>
                {w.threePoints(
                  durationText(minutesOf(bestSeconds)),
                  durationText(minutesOf(likelySeconds)),
                  durationText(minutesOf(worstSeconds)),
                )}
              </td>
              <td className="number">{durationText(minutesOf(likelySeconds))}</td>
            </tr>
          </tbody>
        </table>
      </div>
      <p className="quiet">
        {figures.map(({ label, value, unit }) => `${label} ${numberText(value)}${unit === "" ? "" : ` ${unit}`}`).join(", ")}
        {figures.length > 0 ? ". " : ""}
        {w.source(estimator.source)}
      </p>
    </div>
  );
}
