/** One published version as it was: its change list, its plan as a table or on a board that only shows, its cautions with names. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link, useParams } from "@tanstack/react-router";
import { Suspense, useState } from "react";
import type { VersionView } from "../../../src/contract/api/plan.ts";
import { versionPlanQuery, versionQuery } from "../../client/publishing.ts";
import { useSiteTime } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Loading, Notice } from "../../parts/states.tsx";
import { numberText } from "../../present/amounts.ts";
import { instantText } from "../../present/instant.ts";
import { words } from "../../words/words.ts";
import { ChangeList } from "./change-list.tsx";
import { VersionBoard } from "./version-board.tsx";
import "./publishing.css";

const w = words.publishing;
const VIEWS = ["changes", "board", "table"] as const;
type View = (typeof VIEWS)[number];

export function VersionPage() {
  const { version } = useParams({ from: "/published/$version" });
  const row = useSuspenseQuery(versionQuery(Number(version))).data;
  const time = useSiteTime();
  const [view, setView] = useState<View>("changes");
  return (
    <Page
      title={w.versionNumber(row.version)}
      about={row.note || w.noNote}
      back={<Link to="/published">{words.shell.back(w.title)}</Link>}
      figures={[
        { label: w.when, value: instantText(row.publishedAt, time.zone), how: null },
        { label: w.by, value: row.by, how: null },
        ...(row.acknowledgedBy === null ? [] : [{ label: w.read, value: row.acknowledgedBy, how: null }]),
        { label: w.cautions, value: numberText(row.cautions.length), how: words.how.published.cautions },
      ]}
      actions={
        <Link className="button" to="/published/$version/against/$other" params={{ version, other: "draft" }}>
          {w.compareAct}: {w.draft}
        </Link>
      }
    >
      <fieldset className="version-views board-zoom">
        <legend className="visually-hidden">{w.views}</legend>
        {VIEWS.map((each) => (
          <button type="button" key={each} className="button" aria-pressed={each === view} onClick={() => setView(each)}>
            {w.viewNames[each]}
          </button>
        ))}
      </fieldset>
      {view === "changes" ? (
        <>
          <Section title={w.viewNames.changes} about={w.changesAbout}>
            <ChangeList changes={row.changes} time={time} freeze={null} open />
          </Section>
          <Cautions cautions={row.cautions} />
        </>
      ) : (
        <Suspense fallback={<Loading />}>
          <PlanOfVersion version={row.version} table={view === "table"} />
        </Suspense>
      )}
    </Page>
  );
}

function PlanOfVersion({ version, table }: { readonly version: number; readonly table: boolean }) {
  const then = useSuspenseQuery(versionPlanQuery(version)).data;
  return (
    <>
      {then.kept ? null : <Notice kind="warn">{w.notKept}</Notice>}
      <VersionBoard version={then} table={table} />
    </>
  );
}

function Cautions({ cautions }: { readonly cautions: VersionView["cautions"] }) {
  return (
    <Section title={w.cautionsTitle}>
      {cautions.length === 0 ? <p className="quiet">{w.noCautions}</p> : null}
      {cautions.map((caution) => (
        <details key={caution.id} open>
          <summary>
            <strong>{caution.title}</strong>: {w.acknowledgedBy(caution.by)}, {w.concerns(caution.operations.length)}
          </summary>
          <p className="quiet">{caution.sentence}</p>
          <ul>
            {caution.items.map((item) => (
              <li key={item}>{item}</li>
            ))}
          </ul>
        </details>
      ))}
    </Section>
  );
}
