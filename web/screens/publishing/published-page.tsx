/** What was published when, by whom and why, what is proposed, and the way to any version or any two of them. */
import { useQuery, useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate } from "@tanstack/react-router";
import { useState } from "react";
import { proposalsQuery, VERSIONS_SHOWN, versionsQuery } from "../../client/publishing.ts";
import { sessionQuery } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Empty, Failure } from "../../parts/states.tsx";
import { numberText } from "../../present/amounts.ts";
import { instantText } from "../../present/instant.ts";
import { words } from "../../words/words.ts";
import "./publishing.css";

const w = words.publishing;

export function PublishedPage() {
  const [page, setPage] = useState(1);
  const { data: versions } = useSuspenseQuery(versionsQuery(page));
  const zone = useSuspenseQuery(sessionQuery).data.site.zone;
  const newest = page === 1 ? versions.items[0] : undefined;
  const pages = Math.max(1, Math.ceil(versions.total / VERSIONS_SHOWN));
  return (
    <Page
      title={w.title}
      about={w.about}
      figures={
        newest
          ? [
              { label: w.inForce, value: w.versionNumber(newest.version), how: null },
              { label: w.when, value: instantText(newest.publishedAt, zone), how: null },
              { label: w.by, value: newest.by, how: null },
              { label: w.versions, value: numberText(versions.total), how: words.how.published.versions },
            ]
          : []
      }
    >
      <Proposals zone={zone} />
      <Section title={w.historyTitle} about={w.history}>
        {versions.total === 0 ? (
          <Empty
            title={w.none}
            actions={
              <Link className="button button-main" to="/">
                {w.toBoard}
              </Link>
            }
          >
            {w.noneText}
          </Empty>
        ) : (
          <>
            <CompareForm versions={versions.items.map(({ version }) => version)} />
            <div className="table-frame">
              <table className="table table-links">
                <thead>
                  <tr>
                    <th scope="col">{w.version}</th>
                    <th scope="col">{w.when}</th>
                    <th scope="col">{w.by}</th>
                    <th scope="col">{w.note}</th>
                    <th scope="col">{w.read}</th>
                  </tr>
                </thead>
                <tbody>
                  {versions.items.map(({ version, publishedAt, by, note, acknowledgedBy }) => (
                    <tr key={version}>
                      <td className="nowrap">
                        <Link to="/published/$version" params={{ version: String(version) }}>
                          {w.versionNumber(version)}
                        </Link>{" "}
                        {version === newest?.version ? <span className="tag">{w.inForce}</span> : null}
                      </td>
                      <td className="nowrap">{instantText(publishedAt, zone)}</td>
                      <td>{by}</td>
                      <td>{note || <span className="quiet">{w.noNote}</span>}</td>
                      <td className="quiet">{acknowledgedBy ?? ""}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
            {pages > 1 ? (
              <nav className="pager" aria-label={w.page(page, pages)}>
                <button type="button" className="button" disabled={page === 1} onClick={() => setPage(page - 1)}>
                  {w.newer}
                </button>
                <span>{w.page(page, pages)}</span>
                <button type="button" className="button" disabled={page >= pages} onClick={() => setPage(page + 1)}>
                  {w.older}
                </button>
              </nav>
            ) : null}
          </>
        )}
      </Section>
    </Page>
  );
}

function CompareForm({ versions }: { readonly versions: readonly number[] }) {
  const navigate = useNavigate();
  const [first, setFirst] = useState(String(versions[1] ?? versions[0] ?? ""));
  const [second, setSecond] = useState(versions.length > 1 ? String(versions[0]) : "draft");
  const choices = versions.map((version) => (
    <option key={version} value={version}>
      {w.versionNumber(version)}
    </option>
  ));
  return (
    <form
      className="filters"
      aria-label={w.compareTitle}
      onSubmit={(event) => {
        event.preventDefault();
        void navigate({ to: "/published/$version/against/$other", params: { version: first, other: second } });
      }}
    >
      <div className="field">
        <label htmlFor="compare-first">{w.first}</label>
        <select id="compare-first" value={first} onChange={(event) => setFirst(event.target.value)}>
          {choices}
        </select>
      </div>
      <div className="field">
        <label htmlFor="compare-second">{w.second}</label>
        <select id="compare-second" value={second} onChange={(event) => setSecond(event.target.value)}>
          <option value="draft">{w.draft}</option>
          {choices}
        </select>
      </div>
      <button type="submit" className="button" disabled={first === second}>
        {w.compareAct}
      </button>
    </form>
  );
}

function Proposals({ zone }: { readonly zone: string }) {
  const proposals = useQuery(proposalsQuery);
  if (proposals.isError) return <Failure error={proposals.error} retry={() => void proposals.refetch()} />;
  const list = proposals.data ?? [];
  const open = list.filter(({ state }) => state === "open");
  const shown = [...open, ...list.filter(({ state }) => state !== "open").slice(0, 5)];
  return (
    <Section title={w.proposalsTitle} about={open.length === 0 ? w.noProposals : undefined}>
      {shown.length === 0 ? null : (
        <div className="table-frame">
          <table className="table table-links">
            <tbody>
              {shown.map((one) => (
                <tr key={one.id}>
                  <td className="nowrap">
                    <Link to="/proposals/$id" params={{ id: String(one.id) }}>
                      {w.proposal(one.id)}
                    </Link>
                  </td>
                  <td className="nowrap">{w.proposedBy(one.by)}</td>
                  <td className="nowrap">{instantText(one.at, zone)}</td>
                  <td>{one.note}</td>
                  <td>
                    <span className={one.state === "open" ? "tag tag-running" : "tag"}>{w.proposalStates[one.state]}</span>{" "}
                    {one.reason}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Section>
  );
}
