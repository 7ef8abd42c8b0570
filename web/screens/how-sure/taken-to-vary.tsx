/** A risk profile in words: factors by kind of phase, stops by machine, late material. */
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { RiskAnswer } from "../../../src/contract/api/questions/risk.ts";
import { riskProfileOf } from "../../../src/contract/risk-profile.ts";
import { shareText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";

const w = words.howSure.settings;
const KINDS = ["prepare", "run", "clear", "outside"] as const;

export function TakenToVary({ profile: written, view }: { readonly profile: RiskAnswer["profile"]; readonly view: PlanView }) {
  const profile = riskProfileOf(written);
  const names = new Map(view.problem.machines.map((machine) => [machine.id, machine.name]));
  const { best, likely, worst } = profile.material.delayMinutes;
  return (
    <table className="table" style={{ maxWidth: 760, marginBottom: 10 }}>
      <tbody>
        {KINDS.map((kind) => {
          const factors = profile.durations[kind];
          return (
            <tr key={kind}>
              <th scope="row">{w.kinds[kind]}</th>
              <td>
                × {factors.best} / {factors.likely} / {factors.worst}
              </td>
            </tr>
          );
        })}
        {Object.entries(profile.stops).map(([machine, { meanBetween, meanRepair }]) => (
          <tr key={machine}>
            <th scope="row">{names.get(machine) ?? machine}</th>
            <td>
              {w.meanBetween} {durationText(meanBetween)}, {w.meanRepair} {durationText(meanRepair)}
            </td>
          </tr>
        ))}
        <tr>
          <th scope="row">{w.materialTitle}</th>
          <td>
            {shareText(profile.material.chance)}: {durationText(best)} / {durationText(likely)} / {durationText(worst)}
          </td>
        </tr>
        <tr>
          <th scope="row">{w.starts}</th>
          <td>{w.startsNames[profile.starts]}</td>
        </tr>
        <tr>
          <th scope="row">{w.stayTitle}</th>
          <td>
            {w.stayLabel} {durationText(profile.stayMinutes)}
          </td>
        </tr>
      </tbody>
    </table>
  );
}
