/** The form of each kind of thing the plant consists of. */
import { useQuery } from "@tanstack/react-query";
import type { ReactNode } from "react";
import type { PlantEntity, PlantKind } from "../../../src/contract/api/shop.ts";
import type { Moment } from "../../../src/contract/file/field.ts";
import { planQuery, plantQuery } from "../../client/shop.ts";
import { ChipsField, ChoiceField } from "../../forms/choice-fields.tsx";
import { appended, at, type Lens } from "../../forms/lens.ts";
import { Rows } from "../../forms/rows.tsx";
import { DurationField, ListField, NumberField, OptionalScaledField, ScaledField, TextField } from "../../forms/text-fields.tsx";
import { MomentField } from "../../forms/time-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { words } from "../../words/words.ts";
import { LinkSection } from "../orders/link-form.tsx";
import { OperationList } from "../orders/operation-form.tsx";
import { newMode, newOperation, nextOperationId } from "../orders/order-defaults.ts";
import { CalendarForm } from "./calendar-form.tsx";
import { MachineForm } from "./machine-form.tsx";
import { SetupTableForm } from "./setup-table-form.tsx";
import { UpkeepForm } from "./upkeep-form.tsx";

const w = words.setup;

type FormOf<K extends PlantKind> = (props: { readonly lens: Lens<PlantEntity<K>> }) => ReactNode;

function CrewForm({ lens }: { readonly lens: Lens<PlantEntity<"crews">> }) {
  const calendars = useQuery(plantQuery("calendars")).data ?? [];
  return (
    <>
      <Section title={w.crewFields}>
        <div className="fields">
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <ListField label={w.columns.skills} hint={w.skillsHint} lens={at(lens, "skills")} width="two" />
          <ChoiceField
            label={w.opening}
            help="calendar"
            lens={at(lens, "calendar")}
            choices={calendars.map(({ id, name }) => ({ value: id, label: name || id }))}
          />
          <ScaledField label={w.people} hint={w.peopleHint} scale={100} lens={at(lens, "people")} />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Section title={w.absences}>
        <Rows
          lens={at(lens, "absences")}
          what={w.absence}
          add={w.addAbsence}
          fresh={() => ({ start: "", end: "", people: null, reason: "" })}
        >
          {(absence) => (
            <>
              <MomentField label={w.start} lens={at(absence, "start")} />
              <MomentField label={w.end} hint={w.endHint} lens={at(absence, "end")} />
              <OptionalScaledField label={w.away} hint={w.awayHint} scale={100} empty={null} lens={at(absence, "people")} />
              <TextField label={w.reason} lens={at(absence, "reason")} />
            </>
          )}
        </Rows>
      </Section>
    </>
  );
}

type Change = PlantEntity<"supplies">["changes"][number];

function Changes({ lens, unit }: { readonly lens: Lens<Change[]>; readonly unit: string }) {
  const calendars = useQuery(plantQuery("calendars")).data ?? [];
  return (
    <Section title={w.changes} about={w.changesAbout}>
      <Rows lens={lens} what={w.change} add={w.addChange} ordered fresh={() => ({ start: "", end: "", amount: 0 })}>
        {(change) => {
          const value = change.value;
          const amount = {
            ...change,
            path: `${change.path}/amount`,
            value: value.amount,
            set: (next: number) => change.set({ ...value, amount: next }),
          };
          return "calendar" in value ? (
            <>
              <ChoiceField
                label={w.changeCalendar}
                lens={{
                  ...change,
                  path: `${change.path}/calendar`,
                  value: value.calendar,
                  set: (calendar: string) => change.set({ ...value, calendar }),
                }}
                choices={calendars.map(({ id, name }) => ({ value: id, label: name || id }))}
              />
              <NumberField label={w.amount} unit={unit} lens={amount} />
            </>
          ) : (
            <>
              <MomentField
                label={w.start}
                lens={{
                  ...amount,
                  path: `${change.path}/start`,
                  value: value.start,
                  set: (start: Moment) => change.set({ ...value, start }),
                }}
              />
              <MomentField
                label={w.end}
                hint={w.endHint}
                lens={{
                  ...amount,
                  path: `${change.path}/end`,
                  value: value.end,
                  set: (end: Moment) => change.set({ ...value, end }),
                }}
              />
              <NumberField label={w.amount} unit={unit} lens={amount} />
            </>
          );
        }}
      </Rows>
      {lens.form.readOnly || calendars.length === 0 ? null : (
        <button
          type="button"
          className="button button-small"
          onClick={() => lens.set(appended(lens.value, { calendar: calendars[0]?.id ?? "", amount: 0 }))}
        >
          + {w.addCalendarChange}
        </button>
      )}
    </Section>
  );
}

function SupplyForm({ lens }: { readonly lens: Lens<PlantEntity<"supplies">> }) {
  return (
    <>
      <Section title={w.kinds.supplies.title}>
        <div className="fields">
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <NumberField label={w.amount} unit={lens.value.unit} help="supply" lens={at(lens, "amount")} />
          <TextField label={w.unit} lens={at(lens, "unit")} suggestions={["kW", "l/min", "A"]} />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Changes lens={at(lens, "changes")} unit={lens.value.unit} />
    </>
  );
}

function KitForm({ lens }: { readonly lens: Lens<PlantEntity<"kits">> }) {
  return (
    <>
      <Section title={w.kinds.kits.title}>
        <div className="fields">
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <NumberField label={w.count} help="kit" lens={at(lens, "count")} />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Changes lens={at(lens, "changes")} unit="" />
    </>
  );
}

function RouteForm({ lens }: { readonly lens: Lens<PlantEntity<"routes">> }) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const operations = at(lens, "operations");
  const route = lens.value;
  const add = (): void => {
    const machine = machines[0]?.id;
    const id = nextOperationId(route.id, route.operations);
    operations.set(
      appended(
        route.operations,
        newOperation(id, newMode(machine ?? "bench", machine === undefined ? [] : [machine], undefined)),
      ),
    );
  };
  return (
    <>
      <Section title={w.kinds.routes.title}>
        <div className="fields">
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Section title={words.orders.operations}>
        <OperationList lens={operations} open={null} />
        {lens.form.readOnly ? null : (
          <div className="row">
            <button type="button" className="button" onClick={add}>
              + {words.orders.addOperation}
            </button>
          </div>
        )}
      </Section>
      <LinkSection route={route} lens={at(lens, "links")} />
    </>
  );
}

function RunHourForm({ lens }: { readonly lens: Lens<PlantEntity<"run-hour-rules">> }) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const problem = useQuery(planQuery).data?.problem;
  const maintenance = (problem?.operations ?? []).filter(
    (operation) =>
      problem?.orders.find(({ id }) => id === operation.order)?.kind === "maintenance" &&
      operation.modes.some((mode) => mode.machines.includes(lens.value.machine)),
  );
  return (
    <Section title={w.kinds["run-hour-rules"].title}>
      <div className="fields">
        <ChoiceField
          label={w.columns.machine}
          lens={at(lens, "machine")}
          choices={machines.map(({ id, name }) => ({ value: id, label: name || id }))}
        />
        <DurationField label={w.runLimit} lens={at(lens, "limit")} />
        <DurationField label={w.runCounter} lens={at(lens, "counter")} />
        <ChipsField
          label={w.maintenanceOperations}
          hint={maintenance.length === 0 ? w.noMaintenance : undefined}
          width="wide"
          lens={at(lens, "operations")}
          choices={maintenance.map(({ id, name }) => ({ value: id, label: name ? `${id} ${name}` : id }))}
        />
        <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
      </div>
    </Section>
  );
}

const FORMS: { readonly [K in PlantKind]: FormOf<K> } = {
  machines: MachineForm,
  crews: CrewForm,
  calendars: CalendarForm,
  supplies: SupplyForm,
  kits: KitForm,
  "setup-tables": SetupTableForm,
  routes: RouteForm,
  "run-hour-rules": RunHourForm,
  "upkeep-rules": UpkeepForm,
};

export function PlantForm<K extends PlantKind>({ kind, lens }: { readonly kind: K; readonly lens: Lens<PlantEntity<K>> }) {
  const Form: FormOf<K> = FORMS[kind];
  return <Form lens={lens} />;
}
