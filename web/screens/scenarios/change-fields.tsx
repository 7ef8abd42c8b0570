/** The fields of each kind of change; the same forms the shop's data is entered with. */
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { Moment } from "../../../src/contract/file/field.ts";
import type { ScenarioChange } from "../../../src/contract/scenario/change.ts";
import { dateOfDay } from "../../../src/core/calendar/wall-clock.ts";
import { useSiteTime } from "../../client/shop.ts";
import { CheckField, ChipsField, type Choice, ChoiceField } from "../../forms/choice-fields.tsx";
import { at, type Lens, narrowed } from "../../forms/lens.ts";
import { DurationField, NumberField, OptionalScaledField, TextField } from "../../forms/text-fields.tsx";
import { DateField, MomentField, WallTimeField } from "../../forms/time-fields.tsx";
import { words } from "../../words/words.ts";

const w = words.scenarios.fields;

type Of<K extends ScenarioChange["kind"]> = Extract<ScenarioChange, { kind: K }>;
type FieldsProps<K extends ScenarioChange["kind"]> = { readonly lens: Lens<Of<K>>; readonly view: PlanView };

export function FieldsOf({ lens, view }: { readonly lens: Lens<ScenarioChange>; readonly view: PlanView }) {
  const { value } = lens;
  const one = <K extends ScenarioChange["kind"]>(of: Of<K>): FieldsProps<K> => ({
    lens: narrowed(lens as Lens<ScenarioChange>, of) as unknown as Lens<Of<K>>,
    view,
  });
  switch (value.kind) {
    case "machineDown":
      return <MachineDown {...one(value)} />;
    case "moreHours":
      return <MoreHours {...one(value)} />;
    case "fewerPeople":
      return <FewerPeople {...one(value)} />;
    case "order":
      return <OrderChange {...one(value)} />;
    case "qualify":
      return <Qualify {...one(value)} />;
    case "split":
      return <Split {...one(value)} />;
    case "buy":
      return <Buy {...one(value)} />;
    case "extraMachine":
      return <ExtraMachine {...one(value)} />;
    default:
      return null;
  }
}

const named = (list: readonly { readonly id: string; readonly name: string }[]): Choice<string>[] =>
  list.map(({ id, name }) => ({ value: id, label: name === id ? id : name }));
const machinesOf = ({ problem }: PlanView): Choice<string>[] => named(problem.machines);
const crewsOf = ({ problem }: PlanView): Choice<string>[] => named(problem.crews);
const ordersOf = ({ problem }: PlanView): Choice<string>[] =>
  problem.orders.map(({ id, name }) => ({ value: id, label: name === id ? id : `${id} ${name}` }));
/** Work that has not begun. */
const operationsOf = ({ problem }: PlanView): Choice<string>[] =>
  problem.operations
    .filter(({ progress }) => progress.done.length === 0)
    .map(({ id, name }) => ({ value: id, label: name === id ? id : `${id} ${name}` }));

function MachineDown({ lens, view }: FieldsProps<"machineDown">) {
  return (
    <div className="fields">
      <ChoiceField label={w.machine} lens={at(lens, "machine")} choices={machinesOf(view)} />
      <MomentField label={w.start} lens={at(lens, "start")} />
      <MomentField label={w.end} lens={at(lens, "end")} />
      <TextField label={w.reason} lens={at(lens, "reason")} />
    </div>
  );
}

function FewerPeople({ lens, view }: FieldsProps<"fewerPeople">) {
  return (
    <div className="fields">
      <ChoiceField label={w.crew} lens={at(lens, "crew")} choices={crewsOf(view)} />
      <MomentField label={w.start} lens={at(lens, "start")} />
      <MomentField label={w.end} lens={at(lens, "end")} />
      <People lens={at(lens, "people")} />
      <TextField label={w.reason} lens={at(lens, "reason")} />
    </div>
  );
}

const People = ({ lens }: { readonly lens: Lens<number | null> }) => (
  <OptionalScaledField label={w.people} unit={w.peopleUnit} hint={w.peopleAll} scale={100} empty={null} lens={lens} />
);

type When = Of<"moreHours">["when"];
type Once = Extract<When, { start: Moment }>;
type Repeated = Extract<When, { from: string }>;
const WEEKDAYS: readonly Choice<Repeated["days"][number]>[] = ([1, 2, 3, 4, 5, 6, 7] as const).map((value) => ({
  value,
  label: words.scenarios.weekdays[value - 1] ?? "",
}));

function MoreHours({ lens, view }: FieldsProps<"moreHours">) {
  const time = useSiteTime();
  const { when } = lens.value;
  const place = at(lens, "when");
  const nobody: Choice<string | null> = { value: null, label: w.nobody };
  const repeated = (): Repeated => {
    const { day } = time.clock.shownAt(time.now);
    return { from: dateOfDay(day + 1), last: dateOfDay(day + 28), days: [1, 2, 3, 4, 5], begin: "14:00", until: "22:00" };
  };
  const once = (): Once => {
    const { day } = time.clock.shownAt(time.now);
    return { start: `${dateOfDay(day + 1)}T14:00`, end: `${dateOfDay(day + 1)}T16:00` };
  };
  // Machines that are always open gain nothing by being named.
  const closing = view.problem.machines.filter(({ open }) => open.length > 1);
  return (
    <>
      <div className="fields">
        <ChoiceField label={w.crew} lens={at(lens, "crew")} choices={[...crewsOf(view), nobody]} />
        <People lens={at(lens, "people")} />
        <div className="field">
          <label htmlFor="change-when">{w.how}</label>
          <select
            id="change-when"
            value={"start" in when ? "once" : "repeated"}
            onChange={(e) => place.set(e.target.value === "once" ? once() : repeated())}
          >
            <option value="once">{w.once}</option>
            <option value="repeated">{w.repeated}</option>
          </select>
        </div>
      </div>
      <div className="fields">
        {"start" in when ? (
          <>
            <MomentField label={w.start} lens={at(narrowed(place, when) as Lens<Once>, "start")} />
            <MomentField label={w.end} lens={at(narrowed(place, when) as Lens<Once>, "end")} />
          </>
        ) : (
          <RepeatedFields lens={narrowed(place, when) as Lens<Repeated>} />
        )}
        <CheckField label={w.unsocial} lens={at(lens, "unsocial")} />
      </div>
      {closing.length === 0 ? (
        <p className="quiet">{w.allOpen}</p>
      ) : (
        <ChipsField label={w.opened} hint={w.openedHint} lens={at(lens, "machines")} choices={named(closing)} width="wide" />
      )}
    </>
  );
}

const RepeatedFields = ({ lens }: { readonly lens: Lens<Repeated> }) => (
  <>
    <DateField label={w.firstDay} lens={at(lens, "from")} />
    <DateField label={w.lastDay} lens={at(lens, "last")} />
    <WallTimeField label={w.begin} lens={at(lens, "begin")} />
    <WallTimeField label={w.until} end lens={at(lens, "until")} />
    <ChipsField label={w.days} lens={at(lens, "days")} choices={WEEKDAYS} width="two" />
  </>
);

function OrderChange({ lens, view }: FieldsProps<"order">) {
  // An emptied field means: as it is.
  const optional = <K extends "release" | "due">(key: K): Lens<Moment | null> => ({
    ...(at(lens, key) as unknown as Lens<Moment | null>),
    value: (lens.value[key] as Moment | undefined) ?? null,
    set: (next) => {
      const { [key]: _before, ...rest } = lens.value;
      lens.set((next === null || next === "" ? rest : { ...rest, [key]: next }) as Of<"order">);
    },
  });
  return (
    <div className="fields">
      <ChoiceField label={w.order} lens={at(lens, "order")} choices={ordersOf(view)} />
      <MomentField label={w.release} hint={w.asIs} lens={optional("release")} empty={null} />
      <MomentField label={w.due} hint={w.asIs} lens={optional("due")} empty={null} />
      <OptionalScaledField
        label={w.weight}
        hint={w.asIs}
        scale={1}
        empty={undefined}
        lens={at(lens, "weight") as Lens<number | null | undefined>}
      />
      <OptionalScaledField
        label={w.quantity}
        unit={w.pieces}
        hint={w.asIs}
        scale={1}
        empty={undefined}
        lens={at(lens, "quantity") as Lens<number | null | undefined>}
      />
    </div>
  );
}

function Qualify({ lens, view }: FieldsProps<"qualify">) {
  const operation = view.problem.operations.find(({ id }) => id === lens.value.operation);
  const used = new Set(operation?.modes.flatMap(({ machines }) => machines));
  const modes: Choice<string | null>[] = (operation?.modes ?? []).map(({ id }, i) => ({ value: i === 0 ? null : id, label: id }));
  return (
    <div className="fields">
      <ChoiceField label={w.operation} lens={at(lens, "operation")} choices={operationsOf(view)} width="two" />
      {modes.length > 1 ? <ChoiceField label={w.mode} lens={at(lens, "mode")} choices={modes} /> : null}
      <ChoiceField
        label={w.onMachine}
        lens={at(lens, "machine")}
        choices={machinesOf(view).filter(({ value }) => !used.has(value))}
      />
    </div>
  );
}

const Split = ({ lens, view }: FieldsProps<"split">) => (
  <div className="fields">
    <ChoiceField label={w.operation} lens={at(lens, "operation")} choices={operationsOf(view)} width="two" />
    <NumberField label={w.lots} unit={w.lotsUnit} lens={at(lens, "lots")} />
    <NumberField label={w.minPieces} unit={w.pieces} lens={at(lens, "minPieces")} />
  </div>
);

const Buy = ({ lens, view }: FieldsProps<"buy">) => (
  <div className="fields">
    <ChoiceField label={w.operation} lens={at(lens, "operation")} choices={operationsOf(view)} width="two" />
    <DurationField label={w.lead} lens={at(lens, "minutes")} />
  </div>
);

const ExtraMachine = ({ lens, view }: FieldsProps<"extraMachine">) => (
  <div className="fields">
    <ChoiceField label={w.like} lens={at(lens, "like")} choices={machinesOf(view)} />
    <TextField label={w.newId} lens={at(lens, "id")} />
  </div>
);
