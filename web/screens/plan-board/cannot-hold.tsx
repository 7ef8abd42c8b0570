/**
 * "What cannot hold?": asked of a worker, shown as smallest sets, each demand with the one action that lifts it. What is lifted
 * in an order is one step that undo takes back; the freeze belongs to the site and is said to be changed there.
 */
import { useQueryClient } from "@tanstack/react-query";
import { useEffect, useState } from "react";
import { type OrderBody, orderBodySchema } from "../../../src/contract/api/order.ts";
import { draftAnswerSchema } from "../../../src/contract/api/plan.ts";
import type { QuestionAnswer } from "../../../src/contract/api/question.ts";
import { siteInputSchema, siteSchema } from "../../../src/contract/api/site.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { type Asking, useQuestion } from "../../client/question.ts";
import { command, request, segment } from "../../client/request.ts";
import { keys, planQuery } from "../../client/shop.ts";
import { Dialog } from "../../parts/dialog.tsx";
import { Notice } from "../../parts/states.tsx";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

type Answer = QuestionAnswer<"holdOut">;
type Demand = Extract<Answer, { kind: "contradictions" }>["sets"][number]["demands"][number]["demand"];

type CannotHoldProps = {
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly onPlanAgain: () => void;
  readonly onClose: () => void;
};

export function CannotHoldDialog({ problem, time, onPlanAgain, onClose }: CannotHoldProps) {
  const say = words.cannotHold;
  const asking = useQuestion("holdOut");
  const [news, setNews] = useState<{ readonly kind: "done" | "bad"; readonly text: string } | null>(null);
  const client = useQueryClient();
  const { ask } = asking;
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked once, when it opens
  useEffect(() => void ask({}).catch(() => undefined), []);
  const lift = async (demand: Demand, what: string): Promise<void> => {
    setNews(null);
    try {
      if (demand.kind === "frozen") await shortenFreeze(problem, demand.operation);
      else await liftInOrder(problem, demand, what, (await client.fetchQuery({ ...planQuery, staleTime: 0 })).draft.revision);
      setNews({ kind: "done", text: say.lifted(what) });
      await client.invalidateQueries({ queryKey: keys.plan });
      await client.invalidateQueries({ queryKey: keys.orders });
    } catch (error) {
      setNews({ kind: "bad", text: say.refused(error instanceof Error ? error.message : String(error)) });
    }
  };
  const working = asking.state === "queued" || asking.state === "running" || asking.state === "cancelling";
  return (
    <Dialog
      title={say.title}
      onClose={onClose}
      foot={
        <>
          {working ? (
            <button type="button" className="button" disabled={asking.state === "cancelling"} onClick={asking.cancel}>
              {say.stop}
            </button>
          ) : (
            <button type="button" className="button" onClick={() => void ask({}).catch(() => undefined)}>
              {say.again}
            </button>
          )}
          <button
            type="button"
            className="button button-main"
            disabled={working}
            onClick={() => {
              onPlanAgain();
              onClose();
            }}
          >
            {say.planAgain}
          </button>
        </>
      }
    >
      <p className="quiet">{say.text}</p>
      <Progress asking={asking} working={working} />
      {asking.stale && news === null ? <Notice kind="warn">{say.stale}</Notice> : null}
      {asking.answer ? (
        <Sets
          answer={asking.answer}
          label={(demand, relaxation) => (demand.kind === "frozen" ? freezeLabel(problem, time, demand.operation) : relaxation)}
          lift={(demand, what) => void lift(demand, what)}
        />
      ) : null}
      {news ? <Notice {...(news.kind === "bad" ? { kind: "bad" } : {})}>{news.text}</Notice> : null}
    </Dialog>
  );
}

function Progress({ asking, working }: { readonly asking: Asking<"holdOut">; readonly working: boolean }) {
  const say = words.cannotHold;
  if (working)
    return (
      <p role="status">
        {say.working} {asking.progress ? say.attempts(asking.progress.done) : ""}
      </p>
    );
  if (asking.state === "cancelled" && asking.answer === null) return <p role="status">{say.stopped}</p>;
  if (asking.error !== null) return <Notice kind="bad">{asking.error}</Notice>;
  return null;
}

function Sets({
  answer,
  label,
  lift,
}: {
  readonly answer: Answer;
  readonly label: (demand: Demand, relaxation: string) => string;
  readonly lift: (demand: Demand, what: string) => void;
}) {
  const say = words.cannotHold;
  if (answer.kind === "holds") return <p role="status">{say.holds}</p>;
  if (answer.kind === "workDoesNotFit") return <Notice kind="bad">{say.doesNotFit[answer.proof]}</Notice>;
  return (
    <>
      {answer.sets.map(({ demands, proof }) => (
        <section key={demands.map(({ sentence }) => sentence).join()}>
          <h3>{say.set[proof]}</h3>
          <ul className="demand-list">
            {demands.map(({ demand, sentence, relaxation }) => (
              <li key={sentence}>
                <span>{sentence}</span>
                <button type="button" className="button button-small" onClick={() => lift(demand, label(demand, relaxation))}>
                  {label(demand, relaxation)}
                </button>
              </li>
            ))}
          </ul>
        </section>
      ))}
      {answer.solvableWithout ? null : <p className="quiet">{say.moreNeeded}</p>}
    </>
  );
}

const publishedStart = (problem: Problem, operation: string): number =>
  problem.published?.operations.find((planned) => planned.operation === operation)?.lots[0]?.start ?? problem.now;

function freezeLabel(problem: Problem, time: SiteTime, operation: string): string {
  const start = publishedStart(problem, operation);
  return start > problem.now ? words.cannotHold.freezeUntil(time.short(start)) : words.cannotHold.freezeNothing;
}

/** Frozen is what is published to start before the freeze time: it ends where this operation begins. */
async function shortenFreeze(problem: Problem, operation: string): Promise<void> {
  const { value, revision } = await request(siteSchema, "/site");
  const minutes = publishedStart(problem, operation) - problem.now;
  const { origin: _origin, now: _now, ...site } = value;
  const body = siteInputSchema.parse({ ...site, freezeHours: minutes > 0 ? minutes / 60 : null });
  await command("/site", { method: "PUT", body, revision: revision ?? undefined });
}

async function liftInOrder(
  problem: Problem,
  demand: Exclude<Demand, { kind: "frozen" }>,
  note: string,
  draft: number,
): Promise<void> {
  const { value, revision } = await request(orderBodySchema, `/orders/${segment(orderOf(problem, demand))}`);
  const edits = [{ kind: "orders", id: value.id, after: lifted(value, demand), ...(revision === null ? {} : { revision }) }];
  await request(draftAnswerSchema, "/plan/steps", { method: "POST", body: { edits, plan: null, note }, revision: draft });
}

function orderOf(problem: Problem, demand: Exclude<Demand, { kind: "frozen" }>): string {
  if (demand.kind === "deadline") return demand.order;
  const operation = demand.kind === "maxLag" ? problem.links.find(({ id }) => id === demand.link)?.to : demand.operation;
  return problem.operations.find(({ id }) => id === operation)?.order ?? "";
}

function lifted(order: OrderBody, demand: Exclude<Demand, { kind: "frozen" }>): OrderBody {
  switch (demand.kind) {
    case "deadline":
      return { ...order, due: order.due ?? order.deadline, deadline: null };
    case "maxLag":
      return {
        ...order,
        links: order.links.map((link) => (link.kind === "lag" && link.id === demand.link ? { ...link, maxLag: null } : link)),
      };
    default:
      return {
        ...order,
        operations: order.operations.map((operation) => {
          if (operation.id !== demand.operation) return operation;
          if (demand.kind === "pin") return { ...operation, pin: null };
          if (demand.kind === "window") return { ...operation, window: { start: null, end: null } };
          return {
            ...operation,
            modes: operation.modes.map((mode) => ({
              ...mode,
              phases: mode.phases.map((phase) => ({ ...phase, maxWait: null })),
            })),
          };
        }),
      };
  }
}
