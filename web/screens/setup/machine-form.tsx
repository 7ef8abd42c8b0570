/** A machine or rig: hours, closures, setup rule, unattended rule, calibrations, abilities in numbers. */
import { useQuery } from "@tanstack/react-query";
import type { MachineInFile } from "../../../src/contract/file/plant-schema.ts";
import { plantQuery } from "../../client/shop.ts";
import { ChoiceField } from "../../forms/choice-fields.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { Rows } from "../../forms/rows.tsx";
import {
  DecimalField,
  DurationField,
  OptionalDurationField,
  OptionalScaledField,
  ScaledField,
  TextField,
} from "../../forms/text-fields.tsx";
import { MomentField } from "../../forms/time-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { Notice } from "../../parts/states.tsx";
import { FieldHelp } from "../../parts/term.tsx";
import { words } from "../../words/words.ts";

const w = words.setup;
const YEAR_MINUTES = 365 * 1440;

export function MachineForm({ lens }: { readonly lens: Lens<MachineInFile> }) {
  const calendars = useQuery(plantQuery("calendars")).data ?? [];
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const groups = [...new Set(machines.map(({ group }) => group).filter((group) => group !== ""))].sort();
  const abilities = machines.flatMap((machine) => machine.abilities);
  const abilityNames = [...new Set(abilities.map(({ name }) => name))].sort();
  const abilityUnits = [...new Set(abilities.map(({ unit }) => unit).filter((unit) => unit !== ""))].sort();
  const hours = calendars.map(({ id, name }) => ({ value: id as string | null, label: name || id }));
  return (
    <>
      <Section title={w.machineFields}>
        <div className="fields">
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <ChoiceField
            label={w.columns.kind}
            lens={at(lens, "kind")}
            choices={[
              { value: "machine", label: w.machineKinds.machine },
              { value: "rig", label: w.machineKinds.rig },
            ]}
          />
          <TextField label={w.columns.group} lens={at(lens, "group")} suggestions={groups} />
          <ChoiceField
            label={w.opening}
            help="calendar"
            lens={at(lens, "calendar")}
            choices={[{ value: null, label: w.alwaysOpen }, ...hours]}
          />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Section
        title={
          <>
            {w.setupRule} <FieldHelp of="setup" />
          </>
        }
      >
        <SetupFields lens={lens} />
      </Section>
      <Section
        title={
          <>
            {w.unattended} <FieldHelp of="unattended" />
          </>
        }
      >
        <UnattendedFields lens={at(lens, "unattended")} hours={hours} />
      </Section>
      <Section
        title={
          <>
            {w.calibrations} <FieldHelp of="calibration" />
          </>
        }
      >
        <Rows
          lens={at(lens, "calibrations")}
          what={w.calibration}
          add={w.addCalibration}
          fresh={() => ({ name: "", due: "", interval: YEAR_MINUTES })}
        >
          {(calibration) => (
            <>
              <TextField label={words.forms.name} lens={at(calibration, "name")} />
              <MomentField label={w.due} lens={at(calibration, "due")} />
              <DurationField label={w.interval} lens={at(calibration, "interval")} />
            </>
          )}
        </Rows>
      </Section>
      <Section
        title={
          <>
            {w.abilities} <FieldHelp of="ability" />
          </>
        }
      >
        <Rows
          lens={at(lens, "abilities")}
          what={w.ability}
          add={w.addAbility}
          fresh={() => ({ name: "", unit: "", from: 0, to: 0 })}
        >
          {(ability) => (
            <>
              <TextField label={w.abilityName} lens={at(ability, "name")} suggestions={abilityNames} />
              <DecimalField label={w.abilityFrom} lens={at(ability, "from")} unit={ability.value.unit} />
              <DecimalField label={w.abilityTo} lens={at(ability, "to")} unit={ability.value.unit} />
              <TextField label={w.unit} lens={at(ability, "unit")} suggestions={abilityUnits} />
            </>
          )}
        </Rows>
      </Section>
      <Section
        title={
          <>
            {w.closures} <FieldHelp of="closure" />
          </>
        }
      >
        <Rows lens={at(lens, "closures")} what={w.closure} add={w.addClosure} fresh={() => ({ start: "", end: "", reason: "" })}>
          {(closure) => (
            <>
              <MomentField label={w.start} lens={at(closure, "start")} />
              <MomentField label={w.end} hint={w.endHint} lens={at(closure, "end")} />
              <TextField label={w.reason} lens={at(closure, "reason")} width="two" />
            </>
          )}
        </Rows>
      </Section>
    </>
  );
}

function SetupFields({ lens }: { readonly lens: Lens<MachineInFile> }) {
  const tables = useQuery(plantQuery("setup-tables")).data ?? [];
  const machine = lens.value;
  const rule = machine.setup;
  const setRule = (setup: MachineInFile["setup"], family: MachineInFile["family"] = null): void =>
    lens.set({ ...machine, setup, family });
  const kind: Lens<typeof rule.kind> = {
    ...lens,
    path: `${lens.path}/setup/kind`,
    value: rule.kind,
    set: (next) => {
      if (next === "none") setRule({ kind: "none" });
      else if (next === "table") setRule({ kind: "table", table: tables[0]?.id ?? "" });
      else setRule({ kind: "temperature", rampPerMinute: 2000, settling: 30 });
    },
  };
  const part = <T,>(key: string, value: T, set: (next: T) => MachineInFile["setup"]): Lens<T> => ({
    form: lens.form,
    path: `${lens.path}/setup/${key}`,
    value,
    set: (next) => lens.set({ ...machine, setup: set(next) }),
  });
  const kinds = (["none", "table", "temperature"] as const).filter(
    (value) => value !== "table" || tables.length > 0 || rule.kind === "table",
  );
  const families = rule.kind === "table" ? (tables.find(({ id }) => id === rule.table)?.families ?? []) : [];
  return (
    <div className="fields">
      <ChoiceField label={w.setupRule} lens={kind} choices={kinds.map((value) => ({ value, label: w.setupRules[value] }))} />
      {rule.kind === "table" ? (
        <>
          <ChoiceField
            label={w.table}
            lens={{
              ...part("table", rule.table, (table) => ({ ...rule, table })),
              set: (table: string) => setRule({ kind: "table", table }),
            }}
            choices={tables.map(({ id, name }) => ({ value: id, label: name || id }))}
          />
          <ChoiceField
            label={w.familyNow}
            help="family"
            lens={at(lens, "family")}
            choices={[
              { value: null, label: w.familyNone },
              ...families.map((name) => ({ value: name as string | number | null, label: name })),
            ]}
          />
        </>
      ) : null}
      {rule.kind === "temperature" ? (
        <>
          <ScaledField
            label={w.ramp}
            unit={w.rampUnit}
            scale={1000}
            lens={part("rampPerMinute", rule.rampPerMinute, (rampPerMinute) => ({ ...rule, rampPerMinute }))}
          />
          <DurationField label={w.settling} lens={part("settling", rule.settling, (settling) => ({ ...rule, settling }))} />
          <OptionalScaledField
            label={w.temperature}
            help="temperatureFamily"
            unit="°C"
            scale={1000}
            empty={null}
            lens={{
              ...at(lens, "family"),
              value: typeof machine.family === "number" ? machine.family : null,
              set: (family: number | null | undefined) => lens.set({ ...machine, family: family ?? null }),
            }}
          />
        </>
      ) : null}
    </div>
  );
}

type Hours = readonly { readonly value: string | null; readonly label: string }[];

function UnattendedFields({ lens, hours }: { readonly lens: Lens<MachineInFile["unattended"]>; readonly hours: Hours }) {
  const rule = lens.value;
  const kind: Lens<typeof rule.kind> = {
    ...lens,
    path: `${lens.path}/kind`,
    value: rule.kind,
    set: (next) => lens.set(next === "never" ? { kind: "never" } : { kind: "allowed", windows: null, maxMinutes: null }),
  };
  return (
    <>
      <div className="fields">
        <ChoiceField
          label={w.unattended}
          lens={kind}
          choices={(["never", "allowed"] as const).map((value) => ({ value, label: w.unattendedRules[value] }))}
        />
        {rule.kind === "allowed" ? (
          <>
            <ChoiceField
              label={w.windows}
              lens={{
                form: lens.form,
                path: `${lens.path}/windows`,
                value: rule.windows,
                set: (windows: string | null) => lens.set({ ...rule, windows }),
              }}
              choices={[{ value: null, label: w.anyTime }, ...hours]}
            />
            <OptionalDurationField
              label={w.maxMinutes}
              hint={w.maxMinutesHint}
              lens={{
                form: lens.form,
                path: `${lens.path}/maxMinutes`,
                value: rule.maxMinutes,
                set: (maxMinutes: number | null) => lens.set({ ...rule, maxMinutes }),
              }}
            />
          </>
        ) : null}
      </div>
      {rule.kind === "allowed" ? (
        <div style={{ marginTop: 10 }}>
          <Notice kind="warn">{w.unattendedCaution}</Notice>
        </div>
      ) : null}
    </>
  );
}
