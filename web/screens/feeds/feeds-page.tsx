/** Calendar feeds: making one for a machine, crew, requester or order, its secret address once, and revoking it. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { useState } from "react";
import { FEED_AUDIENCES, FEED_CONTENTS, type Feed, type FeedMade } from "../../../src/contract/api/feed.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { feedsQuery, useFeedChanges } from "../../client/feeds.ts";
import { planQuery, useSiteTime } from "../../client/shop.ts";
import { Confirm } from "../../parts/dialog.tsx";
import { Page, Section } from "../../parts/page.tsx";
import { Failure, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";

const w = words.feeds;
type Audience = Feed["audience"];

export function FeedsPage() {
  const feeds = useSuspenseQuery(feedsQuery).data;
  const time = useSiteTime();
  const { revoke } = useFeedChanges();
  const [made, setMade] = useState<FeedMade | null>(null);
  const [revoking, setRevoking] = useState<Feed | null>(null);
  return (
    <Page title={w.title} about={w.about}>
      <Section title={w.make}>
        <NewFeed onMade={setMade} />
        {made ? <Address made={made} /> : null}
      </Section>
      <Section title={w.yours}>
        {feeds.length === 0 ? (
          <p className="quiet">{w.none}</p>
        ) : (
          <div className="table-frame">
            <table className="table">
              <thead>
                <tr>
                  <th scope="col">{w.columns.name}</th>
                  <th scope="col">{w.columns.audience}</th>
                  <th scope="col">{w.columns.content}</th>
                  <th scope="col">{w.columns.madeBy}</th>
                  <th scope="col">{w.columns.since}</th>
                  <th>
                    <span className="out-of-sight">{w.revoke}</span>
                  </th>
                </tr>
              </thead>
              <tbody>
                {feeds.map((feed) => (
                  <tr key={feed.id}>
                    <th scope="row">{feed.name}</th>
                    <td>{w.audiences[feed.audience]}</td>
                    <td>{w.contents[feed.content]}</td>
                    <td>{feed.madeBy}</td>
                    <td>{time.dayTime(time.clock.minuteOfInstant(Math.floor(Date.parse(feed.createdAt) / 60_000) * 60_000))}</td>
                    <td className="number">
                      <button type="button" className="button button-small button-danger" onClick={() => setRevoking(feed)}>
                        {w.revoke}
                        <span className="out-of-sight"> {feed.name}</span>
                      </button>
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        )}
        {revoke.isError ? <Failure error={revoke.error} /> : null}
      </Section>
      <div style={{ marginTop: 14 }}>
        <Notice>{w.caution}</Notice>
      </div>
      {revoking ? (
        <Confirm
          title={w.revokeTitle(revoking.name)}
          text={w.revokeText}
          act={w.revoke}
          keep={w.keep}
          danger
          onClose={() => setRevoking(null)}
          onAct={() => {
            revoke.mutate(revoking.id, { onSuccess: () => toast(w.revoked(revoking.name)) });
            if (made?.feed.id === revoking.id) setMade(null);
            setRevoking(null);
          }}
        />
      ) : null}
    </Page>
  );
}

function subjectsOf(problem: Problem, audience: Audience): readonly { readonly id: string; readonly name: string }[] {
  switch (audience) {
    case "machine":
      return problem.machines;
    case "crew":
      return problem.crews;
    case "order":
      return problem.orders.map(({ id, name }) => ({ id, name: name === id ? id : `${id} ${name}` }));
    case "requester":
      return [...new Set(problem.orders.flatMap(({ requester }) => requester ?? []))].sort().map((name) => ({ id: name, name }));
  }
}

function NewFeed({ onMade }: { readonly onMade: (made: FeedMade) => void }) {
  const problem = useSuspenseQuery(planQuery).data.problem as Problem;
  const { make } = useFeedChanges();
  const [audience, setAudience] = useState<Audience>("machine");
  const [wanted, setWanted] = useState<string | null>(null);
  const [content, setContent] = useState<Feed["content"]>("events");
  const subjects = subjectsOf(problem, audience);
  const subject = subjects.find(({ id }) => id === wanted)?.id ?? subjects[0]?.id;
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        if (subject !== undefined) make.mutate({ audience, subject, content }, { onSuccess: onMade });
      }}
    >
      <div className="fields">
        <label className="field">
          <span className="label">{w.whose}</span>
          <select value={audience} onChange={(event) => setAudience(event.target.value as Audience)}>
            {FEED_AUDIENCES.map((value) => (
              <option key={value} value={value}>
                {w.audiences[value]}
              </option>
            ))}
          </select>
        </label>
        <label className="field">
          <span className="label">{w.audiences[audience]}</span>
          <select value={subject ?? ""} disabled={subjects.length === 0} onChange={(event) => setWanted(event.target.value)}>
            {subjects.length === 0 ? <option value="">{w.nothingToChoose}</option> : null}
            {subjects.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label className="field">
          <span className="label">{w.content}</span>
          <select value={content} onChange={(event) => setContent(event.target.value as Feed["content"])}>
            {FEED_CONTENTS.map((value) => (
              <option key={value} value={value}>
                {w.contents[value]}
              </option>
            ))}
          </select>
          <span className="field-hint">{w.contentHint}</span>
        </label>
      </div>
      <div className="row" style={{ marginTop: 10 }}>
        <button type="submit" className="button button-main" disabled={subject === undefined || make.isPending}>
          {w.make}
        </button>
      </div>
      {make.isError ? <Failure error={make.error} /> : null}
    </form>
  );
}

/** Told once. The link with the calendar's own scheme lets a device subscribe at a touch. */
function Address({ made }: { readonly made: FeedMade }) {
  const address = new URL(made.path, window.location.href).href;
  const copy = async (): Promise<void> => {
    await navigator.clipboard.writeText(address);
    toast(w.copied);
  };
  return (
    <div className="notice" role="status" style={{ marginTop: 14 }}>
      <div style={{ flex: "1 1 320px" }}>
        <strong>{w.made(made.feed.name)}</strong>
        <p style={{ margin: "4px 0 8px" }}>
          {w.madeText} {w.secret}
        </p>
        <label className="field">
          <span className="label">{w.address}</span>
          <input readOnly value={address} onFocus={(event) => event.currentTarget.select()} />
        </label>
      </div>
      <div className="row">
        <button type="button" className="button" onClick={() => void copy()}>
          {w.copy}
        </button>
        <a className="button" href={address.replace(/^https?:/, "webcal:")}>
          {w.open}
        </a>
      </div>
    </div>
  );
}
