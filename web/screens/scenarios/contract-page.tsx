/** "Can we take this on?": so many orders a week of a route, alone and with help; where it breaks first, week by week. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate } from "@tanstack/react-router";
import { useState } from "react";
import type { z } from "zod";
import type { QuestionAnswer } from "../../../src/contract/api/question.ts";
import type { RouteTemplate } from "../../../src/contract/api/shop.ts";
import { type NewOrders, newOrdersSchema, type ScenarioChange } from "../../../src/contract/scenario/change.ts";
import { dateOfDay, dayOfDate, partsOfDay } from "../../../src/core/calendar/wall-clock.ts";
import { useQuestion } from "../../client/question.ts";
import { useScenarioChanges } from "../../client/scenarios.ts";
import { PLANNERS, planQuery, plantQuery, useMay, useSiteTime } from "../../client/shop.ts";
import { at } from "../../forms/lens.ts";
import { NumberField } from "../../forms/text-fields.tsx";
import { DateField } from "../../forms/time-fields.tsx";
import { useForm } from "../../forms/use-form.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Empty, errorText, ReadOnlyNote } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";
import { AskingNote, isWorking } from "../fit/asking-note.tsx";
import { ContractAnswer } from "./contract-answer.tsx";

const w = words.scenarios.contract;

type Help = { readonly name: string; readonly changes: ScenarioChange[] };

export function ContractPage() {
  const routes = useSuspenseQuery(plantQuery("routes")).data;
  const mayAsk = useMay(PLANNERS);
  const [first] = routes;
  return (
    <Page title={w.title} about={w.about} back={<Link to="/scenarios">{words.shell.back(words.scenarios.title)}</Link>}>
      {mayAsk ? null : <ReadOnlyNote roles={PLANNERS} />}
      {first === undefined ? (
        <Empty
          title={w.noRoutesTitle}
          actions={
            <Link className="button button-main" to="/add/$kind" params={{ kind: "routes" }}>
              {words.setup.add(words.setup.kinds.routes.one)}
            </Link>
          }
        >
          {w.noRoutes}
        </Empty>
      ) : (
        <Asking routes={routes} first={first} mayAsk={mayAsk} />
      )}
    </Page>
  );
}

type AskingProps = { readonly routes: readonly RouteTemplate[]; readonly first: RouteTemplate; readonly mayAsk: boolean };

function Asking({ routes, first, mayAsk }: AskingProps) {
  const view = useSuspenseQuery(planQuery).data;
  const time = useSiteTime();
  const navigate = useNavigate();
  const { add } = useScenarioChanges();
  const asking = useQuestion("contract");
  const [monday] = useState(() => nextMonday(time.clock.shownAt(time.now).day));
  const [asked, setAsked] = useState<NewOrders | null>(null);
  const [helpMachine, setHelpMachine] = useState("");
  const [helpCrew, setHelpCrew] = useState("");
  const [shift, setShift] = useState({ begin: "22:00", until: "06:00" });
  const initial: NewOrders = {
    ...{ kind: "newOrders", prefix: "C", route: first, perWeek: 2, quantity: 1, from: monday, weeks: 6, leadDays: 21, weight: 1 },
  };
  const form = useForm(newOrdersSchema as z.ZodType<NewOrders>, initial, !mayAsk);
  const { root } = form;
  const working = isWorking(asking);

  const helpsOf = (contract: NewOrders): Help[] => {
    const machine = view.problem.machines.find(({ id }) => id === helpMachine);
    const crew = view.problem.crews.find(({ id }) => id === helpCrew);
    const last = dateOfDay((dayOfDate(contract.from) ?? 0) + 7 * contract.weeks + contract.leadDays);
    const used = new Set(contract.route.operations.flatMap(({ modes }) => modes.flatMap(({ machines }) => machines)));
    return [
      ...(machine
        ? [
            {
              name: w.helpMachineName(machine.name),
              changes: [
                { kind: "extraMachine", like: machine.id, id: freeId(`${machine.id}-more`, view) } satisfies ScenarioChange,
              ],
            },
          ]
        : []),
      ...(crew
        ? [
            {
              name: w.helpShiftName(crew.name, shift.begin, shift.until),
              changes: [
                {
                  ...{ kind: "moreHours", crew: crew.id, people: null, unsocial: true },
                  machines: view.problem.machines.filter(({ id, open }) => used.has(id) && open.length > 1).map(({ id }) => id),
                  when: { from: contract.from, last, days: [1, 2, 3, 4, 5], ...shift },
                } satisfies ScenarioChange,
              ],
            },
          ]
        : []),
    ];
  };

  const make = (variant: QuestionAnswer<"contract">["variants"][number]): void => {
    const contract = asked ?? root.value;
    const name = w.scenarioName(contract.route.name ?? contract.route.id, contract.perWeek, variant.name);
    add.mutate(
      { name, changes: variant.changes, plan: variant.plan },
      {
        onSuccess: (made) => {
          toast(words.scenarios.created(made.name));
          void navigate({ to: "/scenarios/$id", params: { id: made.id } });
        },
        onError: (error) => toast(errorText(error).text || errorText(error).title),
      },
    );
  };

  return (
    <>
      <Section title={w.link}>
        <form
          noValidate
          onSubmit={(event) => {
            event.preventDefault();
            form.submit((contract) => {
              setAsked(contract);
              void asking.ask({ contract, helps: helpsOf(contract) }).catch(() => undefined);
            });
          }}
        >
          <div className="fields">
            <div className="field">
              <label htmlFor="contract-route">{w.route}</label>
              <select
                id="contract-route"
                disabled={!mayAsk}
                value={root.value.route.id}
                onChange={(e) => {
                  const route = routes.find(({ id }) => id === e.target.value);
                  if (route) root.set({ ...root.value, route });
                }}
              >
                {routes.map(({ id, name }) => (
                  <option key={id} value={id}>
                    {name || id}
                  </option>
                ))}
              </select>
            </div>
            <NumberField label={w.perWeek} lens={at(root, "perWeek")} />
            <NumberField label={w.quantity} unit={words.scenarios.fields.pieces} lens={at(root, "quantity")} />
            <DateField label={w.from} lens={at(root, "from")} />
            <NumberField label={w.weeks} unit={w.weeksUnit} lens={at(root, "weeks")} />
            <NumberField label={w.lead} unit={w.leadUnit} lens={at(root, "leadDays")} />
          </div>
          <div className="fields" style={{ marginTop: 12 }}>
            <Choice
              id="contract-machine"
              label={`${w.helps}: ${w.helpMachine}`}
              value={helpMachine}
              list={view.problem.machines}
              disabled={!mayAsk}
              onChange={setHelpMachine}
            />
            <Choice
              id="contract-crew"
              label={`${w.helps}: ${w.helpShift}`}
              value={helpCrew}
              list={view.problem.crews}
              disabled={!mayAsk}
              onChange={setHelpCrew}
            />
            {helpCrew === ""
              ? null
              : (["begin", "until"] as const).map((end) => (
                  <div className="field" key={end}>
                    <label htmlFor={`contract-${end}`}>{words.scenarios.fields[end]}</label>
                    <input
                      id={`contract-${end}`}
                      type="time"
                      value={shift[end]}
                      onChange={(e) => setShift({ ...shift, [end]: e.target.value })}
                    />
                  </div>
                ))}
          </div>
          <div className="row" style={{ margin: "12px 0" }}>
            <button type="submit" className="button button-main" disabled={!mayAsk || working}>
              {w.ask}
            </button>
            <AskingNote {...asking} answered={asking.answer !== null} />
          </div>
        </form>
      </Section>
      {asking.answer === null ? null : (
        <ContractAnswer
          answer={asking.answer}
          route={asked?.route ?? root.value.route}
          busy={add.isPending}
          onMake={mayAsk ? make : null}
        />
      )}
    </>
  );
}

type ChoiceProps = {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly list: readonly { readonly id: string; readonly name: string }[];
  readonly disabled: boolean;
  readonly onChange: (id: string) => void;
};

function Choice({ id, label, value, list, disabled, onChange }: ChoiceProps) {
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} disabled={disabled} onChange={(e) => onChange(e.target.value)}>
        <option value="">{w.none}</option>
        {list.map((each) => (
          <option key={each.id} value={each.id}>
            {each.name}
          </option>
        ))}
      </select>
    </div>
  );
}

const nextMonday = (day: number): string => dateOfDay(day + 8 - partsOfDay(day).weekday);

function freeId(
  wish: string,
  { problem }: { readonly problem: { readonly machines: readonly { readonly id: string }[] } },
): string {
  const taken = new Set(problem.machines.map(({ id }) => id));
  if (!taken.has(wish)) return wish;
  for (let n = 2; ; n += 1) if (!taken.has(`${wish}-${n}`)) return `${wish}-${n}`;
}
