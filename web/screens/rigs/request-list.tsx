/** Requests with their state in words, the latest change first; whoever only asks sees their own first. */
import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useState } from "react";
import type { RequestSummary } from "../../../src/contract/api/request.ts";
import { requestsQuery } from "../../client/requests.ts";
import { useSession, useSiteTime } from "../../client/shop.ts";
import { Section } from "../../parts/page.tsx";
import { Empty, Failure, Loading } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";

const w = words.rigs;

const TAGS: Readonly<Record<RequestSummary["state"], string>> = {
  asked: "tag tag-unplanned",
  countered: "tag tag-offered",
  accepted: "tag tag-running",
  declined: "tag tag-done",
  withdrawn: "tag tag-done",
};

export function RequestState({ request }: { readonly request: Pick<RequestSummary, "state" | "lapsed"> }) {
  return (
    <>
      <span className={TAGS[request.state]}>{w.states[request.state]}</span>
      {request.lapsed ? <span className="quiet"> {w.lapsed}</span> : null}
    </>
  );
}

export const isOpen = ({ state }: Pick<RequestSummary, "state">): boolean => state === "asked" || state === "countered";

export function RequestList() {
  const requests = useQuery(requestsQuery);
  const time = useSiteTime();
  const { user } = useSession();
  const [mine, setMine] = useState(user?.role === "requester");
  const [open, setOpen] = useState(false);
  const all = requests.data ?? [];
  const shown = all.filter((request) => (!mine || request.mine) && (!open || isOpen(request)));
  const c = w.requestColumns;
  return (
    <Section
      title={w.requests}
      about={w.requestsAbout}
      actions={
        all.length === 0 ? null : (
          <>
            <label className="check">
              <input type="checkbox" checked={mine} onChange={(e) => setMine(e.target.checked)} /> {w.mineOnly}
            </label>
            <label className="check">
              <input type="checkbox" checked={open} onChange={(e) => setOpen(e.target.checked)} /> {w.openOnly}
            </label>
          </>
        )
      }
    >
      {requests.isPending ? <Loading /> : null}
      {requests.isError && !requests.data ? <Failure error={requests.error} retry={() => void requests.refetch()} /> : null}
      {requests.data && all.length === 0 ? <Empty title={w.noRequestsTitle}>{w.noRequests}</Empty> : null}
      {all.length > 0 && shown.length === 0 ? <p className="quiet">{w.nothingShown}</p> : null}
      {shown.length > 0 ? (
        <div className="table-frame">
          <table className="table table-links">
            <thead>
              <tr>
                {(["title", "requester", "state", "wanted", "slot", "said"] as const).map((key) => (
                  <th key={key} scope="col">
                    {c[key]}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {shown.map((request) => (
                <tr key={request.number}>
                  <td>
                    <Link to="/rigs/requests/$number" params={{ number: String(request.number) }}>
                      {request.number} {request.title}
                    </Link>
                  </td>
                  <td>{request.requester}</td>
                  <td>
                    <RequestState request={request} />
                  </td>
                  <td>{request.wantedBy === null ? words.forms.none : time.dueText(request.wantedBy)}</td>
                  <td>
                    {request.offer && (request.state === "countered" || request.state === "accepted")
                      ? time.dayTime(request.offer.start)
                      : ""}
                    {request.offer && request.state === "countered" ? (
                      <span className="quiet"> {w.heldUntil(time.dayTime(request.offer.until))}</span>
                    ) : null}
                  </td>
                  <td>
                    {request.lastMessage.by} {w.said[request.lastMessage.said]}
                    {request.lastMessage.text === "" ? "" : `: ${request.lastMessage.text}`}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      ) : null}
    </Section>
  );
}
