/** One machine's list. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link, useParams } from "@tanstack/react-router";
import { useState } from "react";
import type { Machine } from "../../../src/core/plant/machine.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { Page } from "../../parts/page.tsx";
import { Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { DaysPicker } from "./days-picker.tsx";
import { stationFacts } from "./station-facts.tsx";
import { PlanBasis, StationSheet } from "./station-sheet.tsx";

const w = words.stations;

export function StationPage() {
  const { id } = useParams({ from: "/stations/$id" });
  const view = useSuspenseQuery(planQuery).data;
  const time = useSiteTime();
  const [days, setDays] = useState(3);
  const machine = view.problem.machines.find((candidate) => candidate.id === id);
  const back = <Link to="/stations">{words.shell.back(w.title)}</Link>;
  if (!machine) {
    return (
      <Page title={words.states.notFoundTitle} back={back}>
        <p>{words.states.notFound}</p>
      </Page>
    );
  }
  return (
    <Page
      title={machine.name}
      about={machine.group}
      figures={stationFacts(view, machine as Machine, time)}
      back={back}
      actions={
        <>
          <DaysPicker days={days} onChange={setDays} />
          <button type="button" className="button" onClick={() => window.print()}>
            {w.print}
          </button>
        </>
      }
    >
      {view.published === null ? <Notice>{w.notPublished}</Notice> : null}
      <StationSheet machine={machine} view={view} days={days} heading={false} />
      <br />
      <PlanBasis view={view} />
    </Page>
  );
}
