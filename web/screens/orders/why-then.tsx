/**
 * "Why then?" of one planned lot: opened by the reader, worked out then and only then from the plan on this page.
 * Promises the sentences of the core unchanged, and nothing about lots that are not in the plan.
 */
import { useEffect, useState } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { whyHere } from "../../../src/core/explain/why-here.ts";
import { words } from "../../words/words.ts";

const w = words.orders.why;

type WhyThenProps = { readonly view: PlanView; readonly operation: string; readonly start: number; readonly name: string };

export function WhyThen({ view, operation, start, name }: WhyThenProps) {
  const [open, setOpen] = useState(false);
  return (
    <details onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary aria-label={w.ofOperation(name)}>{w.ask}</summary>
      {open ? <Sentences view={view} operation={operation} start={start} /> : null}
    </details>
  );
}

function Sentences({ view, operation, start }: Omit<WhyThenProps, "name">) {
  const [sentences, setSentences] = useState<readonly string[] | null>(null);
  useEffect(() => {
    setSentences(null);
    // After the next paint, so that the opened line is seen before the work begins.
    const timer = setTimeout(() => {
      const { plan } = view.draft;
      const lot = plan.operations.find((planned) => planned.operation === operation)?.lots.findIndex((l) => l.start === start);
      const why = lot === undefined || lot < 0 ? null : whyHere(view.problem, plan, operation, lot);
      setSentences(why?.sentences ?? []);
    }, 20);
    return () => clearTimeout(timer);
  }, [view, operation, start]);
  if (sentences === null) return <p role="status">{w.looking}</p>;
  if (sentences.length === 0) return <p>{w.none}</p>;
  return (
    <ul>
      {sentences.map((sentence) => (
        <li key={sentence}>{sentence}</li>
      ))}
    </ul>
  );
}
