/** Adding a change to a scenario: first what kind, then its few fields. What the contract refuses is said at the field. */
import { useEffect, useRef, useState } from "react";
import type { z } from "zod";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { type ScenarioChange, type ScenarioChangeKind, scenarioChangeSchema } from "../../../src/contract/scenario/change.ts";
import { dateOfDay } from "../../../src/core/calendar/wall-clock.ts";
import { ApiProblem } from "../../client/api-problem.ts";
import { useSiteTime } from "../../client/shop.ts";
import { type Lens, narrowed } from "../../forms/lens.ts";
import { useForm } from "../../forms/use-form.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { FieldsOf } from "./change-fields.tsx";

const w = words.scenarios;

/** Those with a form; the contract question and free edits come from elsewhere. */
export type FormKind = Exclude<ScenarioChangeKind, "newOrders" | "edits">;
const KINDS: readonly FormKind[] = [
  "machineDown",
  "moreHours",
  "fewerPeople",
  "order",
  "qualify",
  "split",
  "buy",
  "extraMachine",
];

type FormProps = {
  readonly view: PlanView;
  readonly busy: boolean;
  readonly refusal: Error | null;
  readonly onAdd: (change: ScenarioChange, done: () => void) => void;
};

export function ChangeForm(props: FormProps) {
  const time = useSiteTime();
  const [kind, setKind] = useState<FormKind>("machineDown");
  const [round, setRound] = useState(0);
  return (
    <div className="change-form">
      <div className="fields">
        <div className="field">
          <label htmlFor="change-kind">{w.page.kind}</label>
          <select id="change-kind" value={kind} onChange={(e) => setKind(e.target.value as FormKind)}>
            {KINDS.map((each) => (
              <option key={each} value={each}>
                {w.kinds[each]}
              </option>
            ))}
          </select>
        </div>
      </div>
      <OneChange
        key={`${kind} ${round}`}
        {...props}
        initial={firstOf(kind, props.view, time)}
        onAdd={(change, done) =>
          props.onAdd(change, () => {
            done();
            setRound((before) => before + 1);
          })
        }
      />
    </div>
  );
}

function OneChange({ view, busy, refusal, onAdd, initial }: FormProps & { readonly initial: ScenarioChange }) {
  const form = useForm(scenarioChangeSchema as z.ZodType<ScenarioChange>, initial);
  const { takeFaults } = form;
  const taken = useRef<Error | null>(refusal);
  useEffect(() => {
    if (refusal === taken.current) return;
    taken.current = refusal;
    // Faults point into the scenario; the newest change is the one in this form.
    if (refusal instanceof ApiProblem)
      takeFaults(refusal.faults.map(({ pointer, message }) => ({ pointer: pointer.replace(/^\/changes(\/\d+)?/, ""), message })));
  }, [refusal, takeFaults]);
  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        form.submit((change) => onAdd(change, () => undefined));
      }}
    >
      <FieldsOf lens={narrowed(form.root, form.root.value) as Lens<ScenarioChange>} view={view} />
      <div className="row">
        <button type="submit" className="button button-main" disabled={busy}>
          {w.page.addIt}
        </button>
      </div>
    </form>
  );
}

/** What a form begins with: the first machine, crew or order there is, tomorrow, the next Saturday. */
export function firstOf(kind: FormKind, { problem }: PlanView, time: SiteTime): ScenarioChange {
  const { day } = time.clock.shownAt(time.now);
  const [tomorrow, after] = [dateOfDay(day + 1), dateOfDay(day + 2)];
  const machine = problem.machines[0]?.id ?? "";
  const crew = problem.crews[0]?.id ?? "";
  const operation = problem.operations.find(({ progress }) => progress.done.length === 0)?.id ?? "";
  switch (kind) {
    case "machineDown":
      return { kind, machine, start: `${tomorrow}T06:00`, end: `${after}T06:00`, reason: "" };
    case "fewerPeople":
      return { kind, crew, start: tomorrow, end: tomorrow, people: null, reason: "" };
    case "moreHours": {
      const saturday = dateOfDay(day + 1 + ((7 + 6 - weekdayOf(day + 1)) % 7));
      return {
        ...{ kind, crew, machines: [], people: null, unsocial: true },
        when: { start: `${saturday}T06:00`, end: `${saturday}T14:00` },
      };
    }
    case "order":
      return { kind, order: problem.orders.find(({ due }) => due !== null)?.id ?? "" };
    case "qualify":
      return { kind, operation, mode: null, instead: null, machine };
    case "split":
      return { kind, operation, lots: 2, minPieces: 1 };
    case "buy":
      return { kind, operation, minutes: 5 * 1440 };
    case "extraMachine":
      return { kind, like: machine, id: "" };
  }
}

/** ISO weekday of a day number: Monday 1. */
const weekdayOf = (day: number): number => ((((day + 3) % 7) + 7) % 7) + 1;
