/** The upkeep rules with what each asks for now; one act makes those orders, another brings back what a person removed. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import type { UpkeepMade } from "../../../src/contract/api/upkeep.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { PLANNERS, plantQuery, useMay, useSiteTime } from "../../client/shop.ts";
import { upkeepQuery, useRaiseUpkeep } from "../../client/upkeep.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Section } from "../../parts/page.tsx";
import { Failure, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { triggerText } from "./trigger-text.ts";

const w = words.upkeep;

/** A day counts to its 24:00. */
const dueDay = (time: SiteTime, minute: number): string =>
  time.clock.shownAt(minute).minutes === 0 ? time.day(minute - 1) : time.dayTime(minute);

export function UpkeepRules({ problem }: { readonly problem: Problem }) {
  const rules = useSuspenseQuery(plantQuery("upkeep-rules")).data;
  const asked = useSuspenseQuery(upkeepQuery).data.rules;
  const may = useMay(PLANNERS);
  const raise = useRaiseUpkeep();
  const time = useSiteTime();
  const due = asked.flatMap(({ occasions }) => occasions.filter(({ state }) => state === "due"));
  const tell = ({ made }: UpkeepMade): void =>
    toast(made.length === 0 ? w.raisedNothing : w.raised(made.map(({ order }) => order)));
  return (
    <Section
      title={w.rules}
      about={w.rulesAbout}
      actions={
        may ? (
          <>
            {due.length > 0 ? (
              <button
                type="button"
                className="button button-main"
                disabled={raise.isPending}
                onClick={() => raise.mutate({ rule: null, again: false }, { onSuccess: tell })}
              >
                {w.raise(due.length)}
              </button>
            ) : null}
            <Link className="button" to="/add/$kind" params={{ kind: "upkeep-rules" }}>
              {w.addRule}
            </Link>
          </>
        ) : null
      }
    >
      {raise.isError ? <Failure error={raise.error} /> : null}
      {raise.data?.failed.map(({ rule, occasion, reason }) => (
        <Notice key={`${rule} ${occasion}`} kind="warn">
          {w.failed(rules.find(({ id }) => id === rule)?.name || rule, reason)}
        </Notice>
      ))}
      {rules.length === 0 ? (
        <p className="quiet">{w.noRules}</p>
      ) : (
        <div className="table-frame">
          <table className="table">
            <thead>
              <tr>
                <th scope="col">{w.rule}</th>
                <th scope="col">{w.columns.machine}</th>
                <th scope="col">{w.when}</th>
                <HeadCell label={w.next} how={words.how.upkeep.asked} />
                <th scope="col">{w.made}</th>
              </tr>
            </thead>
            <tbody>
              {rules.map((rule) => {
                const occasions = asked.find((one) => one.rule === rule.id)?.occasions ?? [];
                const now = occasions.filter(({ state }) => state === "due");
                return (
                  <tr key={rule.id}>
                    <th scope="row">
                      <Link to="/setup/$kind/$id" params={{ kind: "upkeep-rules", id: rule.id }}>
                        {rule.name || rule.id}
                      </Link>
                    </th>
                    <td>{problem.machines.find(({ id }) => id === rule.machine)?.name ?? rule.machine}</td>
                    <td>{triggerText(rule.trigger, time, problem.runHourRules)}</td>
                    <td>
                      {now.length === 0 ? (
                        <span className="quiet">{w.nothingNow}</span>
                      ) : (
                        now.map(({ due: minute }) => (minute === null ? w.dueNow : w.dueBy(dueDay(time, minute)))).join(", ")
                      )}
                    </td>
                    <td>
                      {occasions
                        .filter(({ state }) => state !== "due")
                        .map(({ occasion, state, order }) => (
                          <div key={occasion}>
                            {state === "made" ? (
                              <Link to="/orders/$id" params={{ id: order }}>
                                {order}
                              </Link>
                            ) : (
                              <span className="row">
                                <span className="quiet">{w.removed(order)}</span>
                                {may ? (
                                  <button
                                    type="button"
                                    className="button button-small"
                                    disabled={raise.isPending}
                                    onClick={() => raise.mutate({ rule: rule.id, again: true }, { onSuccess: tell })}
                                  >
                                    {w.raiseAgain}
                                  </button>
                                ) : null}
                              </span>
                            )}
                          </div>
                        ))}
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      )}
    </Section>
  );
}
