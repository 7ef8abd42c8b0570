/** One proposed draft under review: what it would change for whom, its cautions, and the decision. */
import { useQuery, useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate, useParams } from "@tanstack/react-router";
import { useState } from "react";
import { draftAnswerSchema, versionSchema } from "../../../src/contract/api/plan.ts";
import type { ProposalView } from "../../../src/contract/api/proposal.ts";
import { proposalQuery, useDecideProposal } from "../../client/publishing.ts";
import { request } from "../../client/request.ts";
import { keys, planQuery, sessionQuery, useSiteTime } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Failure, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { instantText } from "../../present/instant.ts";
import { words } from "../../words/words.ts";
import { CautionChecks, useCautionAnswers } from "./caution-checks.tsx";
import { ChangeList } from "./change-list.tsx";
import "./publishing.css";

const w = words.publishing;

export function ProposalPage() {
  const { id } = useParams({ from: "/proposals/$id" });
  const proposal = useSuspenseQuery(proposalQuery(Number(id))).data;
  const time = useSiteTime();
  const plan = useQuery(planQuery);
  return (
    <Page
      title={w.proposal(proposal.id)}
      about={proposal.note}
      back={<Link to="/published">{words.shell.back(w.title)}</Link>}
      figures={[
        { label: w.by, value: proposal.by, how: null },
        { label: w.when, value: instantText(proposal.at, time.zone), how: null },
        { label: words.orders.columns.state, value: w.proposalStates[proposal.state], how: null },
        ...(proposal.decidedBy ? [{ label: w.decidedBy, value: proposal.decidedBy, how: null }] : []),
      ]}
    >
      {proposal.reason ? <Notice title={w.reason}>{proposal.reason}</Notice> : null}
      <Section title={w.review} about={w.reviewAbout}>
        <ChangeList changes={proposal.check} time={time} freeze={plan.data?.problem.freeze ?? null} open />
      </Section>
      {proposal.state === "open" && plan.data ? <Decision proposal={proposal} revision={plan.data.draft.revision} /> : null}
    </Page>
  );
}

function Decision({ proposal, revision }: { readonly proposal: ProposalView; readonly revision: number }) {
  const client = useQueryClient();
  const navigate = useNavigate();
  const me = useQuery(sessionQuery).data?.user?.name;
  const answers = useCautionAnswers(proposal.check.cautions);
  const decide = useDecideProposal(proposal.id);
  const [reason, setReason] = useState("");
  const [reader, setReader] = useState("");
  const [refused, setRefused] = useState<unknown>(null);
  const [busy, setBusy] = useState(false);
  const conflicts = proposal.check.conflicts.length;
  const { publish } = words.board;
  const act = async (work: () => Promise<string>): Promise<void> => {
    setBusy(true);
    setRefused(null);
    try {
      toast(await work());
      await client.invalidateQueries({ queryKey: keys.plan });
    } catch (error) {
      setRefused(error);
    } finally {
      setBusy(false);
    }
  };
  const put = (): Promise<void> =>
    act(async () => {
      const body = {
        note: proposal.note,
        proposal: proposal.id,
        cautions: answers.body,
        ...(reader.trim() === "" ? {} : { acknowledgedBy: reader.trim() }),
      };
      const { value } = await request(versionSchema, "/plan/publish", { method: "POST", body, revision });
      void navigate({ to: "/published/$version", params: { version: String(value.version) } });
      return publish.done(value.version);
    });
  const take = (): Promise<void> =>
    act(async () => {
      const body = { plan: proposal.plan, note: w.takenNote(proposal.id) };
      await request(draftAnswerSchema, "/plan/draft", { method: "PUT", body, revision });
      return w.taken;
    });
  return (
    <>
      {proposal.isDraft ? null : (
        <Notice
          kind="warn"
          actions={
            proposal.check.mayPublish ? (
              <button type="button" className="button" disabled={busy} onClick={() => void take()}>
                {w.take}
              </button>
            ) : null
          }
        >
          {w.moved_on}
        </Notice>
      )}
      {proposal.check.mayPublish ? (
        <>
          <CautionChecks cautions={proposal.check.cautions} answers={answers} />
          {conflicts > 0 ? (
            <div className="field" style={{ maxWidth: 420 }}>
              <label htmlFor="proposal-reader">{publish.acknowledged}</label>
              <input id="proposal-reader" value={reader} maxLength={200} onChange={(event) => setReader(event.target.value)} />
            </div>
          ) : null}
          <div className="row" style={{ margin: "14px 0" }}>
            <button
              type="button"
              className="button button-main"
              disabled={busy || !proposal.isDraft || !answers.ready || (conflicts > 0 && reader.trim() === "")}
              onClick={() => void put()}
            >
              {publish.act}
            </button>
          </div>
          <form
            className="filters"
            onSubmit={(event) => {
              event.preventDefault();
              void act(async () => {
                await decide.mutateAsync({ kind: "decline", reason: reason.trim() });
                return w.declined(proposal.id);
              });
            }}
          >
            <div className="field field-search">
              <label htmlFor="decline-reason">{w.declineReason}</label>
              <input id="decline-reason" value={reason} maxLength={1000} onChange={(event) => setReason(event.target.value)} />
            </div>
            <button type="submit" className="button button-danger" disabled={busy || reason.trim() === ""}>
              {w.decline}
            </button>
          </form>
        </>
      ) : (
        <Notice>{w.mayNot}</Notice>
      )}
      {me === proposal.by ? (
        <button
          type="button"
          className="button"
          disabled={busy}
          onClick={() =>
            void act(async () => {
              await decide.mutateAsync({ kind: "withdraw" });
              return w.withdrawn(proposal.id);
            })
          }
        >
          {w.withdraw}
        </button>
      ) : null}
      {refused ? <Failure error={refused} /> : null}
    </>
  );
}
