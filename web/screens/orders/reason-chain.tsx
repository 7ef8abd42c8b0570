/** The chain of reasons of a late order, read backwards from its last work to the root; worked out once the page is seen. */
import { Link } from "@tanstack/react-router";
import { useEffect, useState } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { type WhyLate, whyLate } from "../../../src/core/explain/why-late.ts";
import { useSiteTime } from "../../client/shop.ts";
import { Section } from "../../parts/page.tsx";
import { words } from "../../words/words.ts";
import { lateMinutes, type OrderTimeline } from "./order-timeline.ts";

const w = words.howSure.chain;

export function ReasonChain({ timeline, view }: { readonly timeline: OrderTimeline; readonly view: PlanView }) {
  const { order, done } = timeline;
  const late = lateMinutes(timeline) > 0 && !done;
  const [why, setWhy] = useState<{ readonly view: PlanView; readonly found: WhyLate | null } | null>(null);
  useEffect(() => {
    if (!late) return;
    // After the next paint: the page stands before the work begins.
    const timer = setTimeout(() => setWhy({ view, found: whyLate(view.problem, view.draft.plan, order.id) }), 30);
    return () => clearTimeout(timer);
  }, [late, view, order.id]);
  if (!late) return null;
  const found = why?.view === view ? why.found : undefined;
  return (
    <Section
      title={w.title}
      about={w.about}
      actions={
        <Link className="button button-small" to="/" search={{ order: order.id, chain: 1 }}>
          {w.show}
        </Link>
      }
    >
      {found === undefined ? <p role="status">{w.looking}</p> : null}
      {found ? <Steps why={found} view={view} /> : null}
    </Section>
  );
}

function Steps({ why, view }: { readonly why: WhyLate; readonly view: PlanView }) {
  const time = useSiteTime();
  const order = new Map(view.problem.operations.map((operation) => [operation.id, operation.order]));
  return (
    <ol className="reason-chain">
      {why.steps.map((step, i) => {
        const own = order.get(step.operation);
        return (
          <li key={`${step.operation} ${step.lot}`}>
            <span className="step-number" aria-hidden="true">
              {i + 1}
            </span>
            <span>
              {own !== undefined && own !== why.order ? (
                <Link to="/orders/$id" params={{ id: own }}>
                  {step.operation}
                </Link>
              ) : (
                <strong>{step.operation}</strong>
              )}
              <br />
              <span className="quiet">
                {time.short(step.start)} - {time.short(step.end)}
              </span>
            </span>
            <span>
              {step.sentence} {step.follows === null ? <span className="tag">{w.root}</span> : null}
            </span>
          </li>
        );
      })}
    </ol>
  );
}
