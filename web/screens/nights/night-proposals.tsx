/** Proposals for the nights, asked of the server; one or all of them are taken as an edit of the draft, which undo takes back. */
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useMemo, useState } from "react";
import { draftAnswerSchema } from "../../../src/contract/api/plan.ts";
import type { NightProposalView } from "../../../src/contract/api/questions/night-fill.ts";
import { check } from "../../../src/core/check/checker.ts";
import { newConflicts } from "../../../src/core/plan/new-conflicts.ts";
import type { Plan, PlannedOperation } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { useQuestion } from "../../client/question.ts";
import { request } from "../../client/request.ts";
import { keys, PLANNERS, useMay, useSiteTime } from "../../client/shop.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Section } from "../../parts/page.tsx";
import { Failure } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { hoursText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { AskingNote, isWorking } from "../fit/asking-note.tsx";

const w = words.nights;
const DAY_CHOICES = [1, 3, 7, 14] as const;

export function NightProposals({
  problem,
  plan,
  revision,
}: {
  readonly problem: Problem;
  readonly plan: Plan;
  readonly revision: number;
}) {
  const question = useQuestion("nightFill");
  const may = useMay(PLANNERS);
  const [days, setDays] = useState<number>(7);
  const [moves, setMoves] = useState(true);
  const take = useTake(revision);
  const { answer } = question;
  const proposals = answer?.proposals ?? [];
  const done = question.state === "done" || question.state === "cancelled";
  return (
    <Section title={w.proposals} about={w.proposalsAbout}>
      <div className="row" style={{ marginBottom: 10 }}>
        <label className="row">
          <span className="quiet">{w.days}</span>
          <select style={{ width: "auto" }} value={days} onChange={(event) => setDays(Number(event.target.value))}>
            {DAY_CHOICES.map((choice) => (
              <option key={choice} value={choice}>
                {w.dayCount(choice)}
              </option>
            ))}
          </select>
        </label>
        <label className="check">
          <input type="checkbox" checked={moves} onChange={(event) => setMoves(event.target.checked)} /> {w.moves}
        </label>
        <button
          type="button"
          className={proposals.length > 0 ? "button" : "button button-main"}
          disabled={isWorking(question)}
          onClick={() => void question.ask({ days, moves }).catch(() => undefined)}
        >
          {answer ? w.again : w.find}
        </button>
        {may && done && proposals.length > 1 && answer && !question.stale ? (
          <button
            type="button"
            className="button button-main"
            disabled={take.isPending}
            onClick={() =>
              take.mutate(
                { plan: answer.plan as Plan, note: w.noteAll(proposals.length) },
                { onSuccess: () => toast(w.takenAll(proposals.length)) },
              )
            }
          >
            {w.takeAll(proposals.length)}
          </button>
        ) : null}
      </div>
      <AskingNote {...question} answered={answer !== null} />
      {take.isError ? <Failure error={take.error} /> : null}
      {done && answer && proposals.length === 0 ? <p>{w.nothing}</p> : null}
      {proposals.length > 0 && answer ? (
        <>
          <p>
            {w.summary(
              hoursText(total(answer.before, "used")),
              hoursText(total(answer.after, "used")),
              hoursText(total(answer.after, "possible")),
            )}
          </p>
          <ProposalTable
            proposals={proposals}
            problem={problem}
            plan={plan}
            mayTake={may && done && !question.stale && !take.isPending}
            onTake={(proposal, next) =>
              take.mutate(
                { plan: next, note: w.noteOne(proposal.operation) },
                { onSuccess: () => toast(w.takenOne(proposal.operation)) },
              )
            }
          />
        </>
      ) : null}
    </Section>
  );
}

const total = (list: readonly { used: number; possible: number }[], what: "used" | "possible"): number =>
  list.reduce((sum, one) => sum + one[what], 0);

function useTake(revision: number) {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: { readonly plan: Plan; readonly note: string }) =>
      request(draftAnswerSchema, "/plan/draft", { method: "PUT", body, revision }),
    onSuccess: () =>
      Promise.all([keys.plan, keys.orders, keys.session].map((queryKey) => client.invalidateQueries({ queryKey }))),
  });
}

/** The draft with one proposal in it; null where it needs one of those before it. */
function withProposal(problem: Problem, plan: Plan, proposal: NightProposalView): Plan | null {
  const changes = proposal.changes as readonly PlannedOperation[];
  const changed = new Set(changes.map(({ operation }) => operation));
  const next: Plan = { operations: [...plan.operations.filter(({ operation }) => !changed.has(operation)), ...changes] };
  return newConflicts(check(problem, plan).conflicts, check(problem, next).conflicts).length === 0 ? next : null;
}

function ProposalTable({
  proposals,
  problem,
  plan,
  mayTake,
  onTake,
}: {
  readonly proposals: readonly NightProposalView[];
  readonly problem: Problem;
  readonly plan: Plan;
  readonly mayTake: boolean;
  readonly onTake: (proposal: NightProposalView, next: Plan) => void;
}) {
  const time = useSiteTime();
  const alone = useMemo(() => proposals.map((proposal) => withProposal(problem, plan, proposal)), [proposals, problem, plan]);
  return (
    <div className="table-frame">
      <table className="table">
        <thead>
          <tr>
            <th scope="col">{w.columns.night}</th>
            <th scope="col">{w.columns.work}</th>
            <th scope="col">{w.columns.machine}</th>
            <th scope="col">{w.columns.start}</th>
            <HeadCell label={w.columns.planned} how={words.how.nights.planned} />
            <HeadCell label={w.columns.gain} how={words.how.nights.gain} number />
            <th scope="col">{w.columns.moved}</th>
            <th>
              <span className="out-of-sight">{w.take}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {proposals.map((proposal, i) => {
            const next = alone[i] ?? null;
            return (
              <tr key={`${proposal.operation} ${proposal.start}`}>
                <th scope="row" className="nowrap">
                  {time.day(proposal.night[0] ?? proposal.start)}
                </th>
                <td>
                  <Link to="/orders/$id" params={{ id: proposal.order }}>
                    {proposal.operation}
                  </Link>{" "}
                  {proposal.name}
                </td>
                <td>{proposal.machineName}</td>
                <td className="nowrap">
                  <Link to="/" search={{ from: proposal.start - 240, until: proposal.end + 240, machine: proposal.machine }}>
                    {time.dayTime(proposal.start)}
                  </Link>
                </td>
                <td className="nowrap">{proposal.plannedStart === null ? w.notPlanned : time.dayTime(proposal.plannedStart)}</td>
                <td className="number">
                  <strong>{w.more(durationText(proposal.gain))}</strong>
                  <div className="quiet">{w.alone(durationText(proposal.nightMinutes))}</div>
                </td>
                <td>
                  {proposal.moved.length === 0 ? (
                    <span className="quiet">{w.nobodyMoves}</span>
                  ) : (
                    proposal.moved.map(({ operation, to }) => (
                      <div key={operation}>{w.movedTo(operation, to === null ? w.notPlanned : time.dayTime(to))}</div>
                    ))
                  )}
                </td>
                <td className="number">
                  {next === null ? (
                    <span className="quiet">{w.buildsOn}</span>
                  ) : mayTake ? (
                    <button
                      type="button"
                      className="button button-small"
                      aria-label={w.takeOne(proposal.operation)}
                      onClick={() => onTake(proposal, next)}
                    >
                      {w.take}
                    </button>
                  ) : null}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
