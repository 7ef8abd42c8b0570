/** What the shop consists of, on one page: how many of each kind, and the way to it. */
import { useQueries } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import type { PlantKind } from "../../../src/contract/api/shop.ts";
import { ADMINISTRATORS, plantQuery, useMay } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { numberText } from "../../present/amounts.ts";
import { words } from "../../words/words.ts";

const w = words.setup;
const GROUPS: readonly { readonly title: string; readonly kinds: readonly PlantKind[] }[] = [
  { title: w.groups.plant, kinds: ["machines", "crews", "calendars", "supplies", "kits"] },
  { title: w.groups.rules, kinds: ["setup-tables", "routes", "run-hour-rules", "upkeep-rules"] },
];

export function SetupOverview() {
  const kinds = GROUPS.flatMap((group) => group.kinds);
  const counts = useQueries({
    queries: kinds.map((kind) => ({ ...plantQuery(kind), select: (list: readonly unknown[]) => list.length })),
  });
  const countOf = (kind: PlantKind): number | undefined => counts[kinds.indexOf(kind)]?.data;
  const administrator = useMay(ADMINISTRATORS);
  return (
    <Page title={w.title} about={w.about}>
      {GROUPS.map(({ title, kinds: shown }) => (
        <Section key={title} title={title}>
          <div className="columns">
            {shown.map((kind) => {
              const count = countOf(kind);
              return (
                <Link key={kind} className="card" to="/setup/$kind" params={{ kind }}>
                  <h3 className="card-title">
                    {w.kinds[kind].title}
                    <span className="count">{count === undefined ? "" : numberText(count)}</span>
                  </h3>
                  <p>{w.kinds[kind].about}</p>
                </Link>
              );
            })}
          </div>
        </Section>
      ))}
      <Section title={w.groups.site}>
        <div className="columns">
          <Link className="card" to="/setup/site">
            <h3 className="card-title">{w.siteTitle}</h3>
            <p>{w.siteAbout}</p>
          </Link>
          <Link className="card" to="/setup/publishing">
            <h3 className="card-title">{words.publishing.settings.title}</h3>
            <p>{words.publishing.settings.about}</p>
          </Link>
          <Link className="card" to="/setup/risk">
            <h3 className="card-title">{words.howSure.settings.title}</h3>
            <p>{words.howSure.settings.about}</p>
          </Link>
          <Link className="card" to="/setup/rates">
            <h3 className="card-title">{words.scenarios.rates.title}</h3>
            <p>{words.scenarios.rates.about}</p>
          </Link>
          <Link className="card" to="/setup/file">
            <h3 className="card-title">{w.fileTitle}</h3>
            <p>{w.fileAbout}</p>
          </Link>
          {administrator ? (
            <Link className="card" to="/setup/accounts">
              <h3 className="card-title">{w.accountsTitle}</h3>
              <p>{w.accountsAbout}</p>
            </Link>
          ) : null}
        </div>
      </Section>
    </Page>
  );
}
