/** All machines at a glance - what runs, what is next - and on paper all their lists, a page each. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useState } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { Machine } from "../../../src/core/plant/machine.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { Page } from "../../parts/page.tsx";
import { Empty, Notice } from "../../parts/states.tsx";
import { unbroken } from "../../present/amounts.ts";
import { words } from "../../words/words.ts";
import { DaysPicker } from "./days-picker.tsx";
import { entryName, stationEntries } from "./station-model.ts";
import { PlanBasis, StationSheet } from "./station-sheet.tsx";

const w = words.stations;

export function StationList() {
  const view = useSuspenseQuery(planQuery).data;
  const [days, setDays] = useState(3);
  const machines = view.problem.machines;
  const groups = [...new Set(machines.map(({ group }) => group))];
  return (
    <Page
      title={w.title}
      about={w.about}
      actions={
        <>
          <DaysPicker days={days} onChange={setDays} />
          <button type="button" className="button" onClick={() => window.print()}>
            {w.printAll}
          </button>
        </>
      }
    >
      {machines.length === 0 ? (
        <Empty
          title={w.noMachines}
          actions={
            <Link className="button button-main" to="/add/$kind" params={{ kind: "machines" }}>
              {words.setup.add(words.setup.kinds.machines.one)}
            </Link>
          }
        />
      ) : null}
      {view.published === null && machines.length > 0 ? <Notice>{w.notPublished}</Notice> : null}
      <div className="no-print">
        {groups.map((group) => (
          <section key={group} className="section">
            {group === "" ? null : (
              <div className="section-head">
                <h2>{group}</h2>
              </div>
            )}
            <div className="columns">
              {machines
                .filter((machine) => machine.group === group)
                .map((machine) => (
                  <StationCard key={machine.id} machine={machine} view={view} />
                ))}
            </div>
          </section>
        ))}
      </div>
      <div className="only-print">
        {machines.map((machine) => (
          <StationSheet key={machine.id} machine={machine} view={view} days={days} heading />
        ))}
        <PlanBasis view={view} />
      </div>
    </Page>
  );
}

function StationCard({ machine, view }: { readonly machine: Machine; readonly view: PlanView }) {
  const time = useSiteTime();
  const entries = stationEntries(view, machine.id);
  const running = entries.find((entry) => entry.running);
  const next = entries.find((entry) => !entry.running);
  return (
    <Link className="card station-card" to="/stations/$id" params={{ id: machine.id }}>
      <h3 className="card-title">
        {machine.name}
        <span className="quiet" style={{ marginLeft: "auto", fontWeight: 400 }}>
          {w.operations(entries.length)}
        </span>
      </h3>
      <p>
        <span className="card-label">{w.now}</span>
        <span>
          {running ? (
            <>
              <b>{entryName(running)}</b>,{" "}
              {(running.state?.working === false ? w.plannedTo : w.runsUntil)(unbroken(time.short(running.end)))}
            </>
          ) : (
            w.nothingNow
          )}
        </span>
      </p>
      <p>
        <span className="card-label">{w.next}</span>
        <span>
          {next ? (
            <>
              <b className="nowrap">{time.short(next.start)}</b> {entryName(next)}
              {next.overdue ? <span className="late"> {w.overdue}</span> : null}
            </>
          ) : (
            words.forms.none
          )}
        </span>
      </p>
    </Link>
  );
}
