/** One operation in a form: closed it is a line of a route card, open it holds its ways and everything that binds it. */
import { useQuery } from "@tanstack/react-query";
import type { OperationInFile } from "../../../src/contract/file/order-schema.ts";
import { plantQuery } from "../../client/shop.ts";
import { CheckField, ChipsField, ChoiceField } from "../../forms/choice-fields.tsx";
import { Field } from "../../forms/field.tsx";
import { appended, at, items, type Lens, narrowed, without } from "../../forms/lens.ts";
import { RowButtons, Rows } from "../../forms/rows.tsx";
import { ListField, NumberField, ScaledField, TextField } from "../../forms/text-fields.tsx";
import { MomentField } from "../../forms/time-fields.tsx";
import { FieldHelp } from "../../parts/term.tsx";
import { durationText, secondsText } from "../../present/duration.ts";
import { kindOfPhase } from "../../present/segments.ts";
import { words } from "../../words/words.ts";
import { type ModeInForm, newMode, type PhaseInForm } from "./order-defaults.ts";
import { PhaseTable } from "./phase-table.tsx";

const w = words.orders;
const f = w.fields;

type OperationsProps = {
  readonly lens: Lens<OperationInFile[]> /** The operation to show opened. */;
  readonly open: string | null;
};

const workText = (phase: PhaseInForm): string =>
  phase.work.kind === "fixed" ? durationText(phase.work.minutes) : `${secondsText(phase.work.seconds)} ${w.works.perPiece}`;

/** "Setup 15 min, attended run 18 min per piece". */
const phasesText = (mode: ModeInForm): string =>
  mode.phases.map((phase) => `${words.orders.phaseNames[phaseName(phase)].toLowerCase()} ${workText(phase)}`).join(", ");

function phaseName(phase: PhaseInForm): keyof typeof w.phaseNames {
  const kind = kindOfPhase(phase);
  return kind === "setup" ? "prepare" : kind === "unload" ? "clear" : kind === "attended" ? "attended" : "unattended";
}

export function OperationList({ lens, open }: OperationsProps) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const names = new Map(machines.map(({ id, name }) => [id, name || id]));
  return (
    <div>
      {items(lens).map((operation, i) => {
        const modes = operation.value.modes;
        const where = modes
          .map((mode) => (mode.machines.length === 0 ? f.noMachine : mode.machines.map((id) => names.get(id) ?? id).join(" + ")))
          .join(" / ");
        const fault = lens.form.faultAt(operation.path);
        return (
          <details className="operation" key={operation.path} open={operation.value.id === open || undefined}>
            <summary>
              <strong>{operation.value.id}</strong>
              <span className="strong">{operation.value.name}</span>
              <span>{where}</span>
              <span className="quiet">{modes[0] ? phasesText(modes[0]) : ""}</span>
              {fault ? <span className="field-fault">{fault}</span> : null}
            </summary>
            <div className="operation-body">
              <OperationFields lens={operation} />
              {lens.form.readOnly ? null : (
                <div className="row">
                  <RowButtons lens={lens} index={i} what={w.operation} ordered worded />
                </div>
              )}
            </div>
          </details>
        );
      })}
      {lens.value.length === 0 && lens.form.faultAt(lens.path) ? (
        <span className="field-fault">{lens.form.faultAt(lens.path)}</span>
      ) : null}
    </div>
  );
}

function OperationFields({ lens }: { readonly lens: Lens<OperationInFile> }) {
  const crews = useQuery(plantQuery("crews")).data ?? [];
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const kits = useQuery(plantQuery("kits")).data ?? [];
  const skills = [...new Set(crews.flatMap((crew) => crew.skills))].sort();
  const calibrations = [...new Set(machines.flatMap((machine) => machine.calibrations.map(({ name }) => name)))].sort();
  const split = lens.value.split;
  const modes = at(lens, "modes");
  const { readOnly } = lens.form;
  const addMode = (): void => {
    const first = modes.value[0];
    const id = `way-${modes.value.length + 1}`;
    modes.set(appended(modes.value, first ? { ...first, id, machines: [], families: undefined } : newMode(id, [], skills[0])));
  };
  return (
    <>
      <div className="fields">
        <TextField label={f.operationId} lens={at(lens, "id")} />
        <TextField label={f.operationName} lens={at(lens, "name")} empty={undefined} width="two" />
        <NumberField label={f.piecesPerUnit} lens={at(lens, "piecesPerUnit")} />
      </div>
      <h3>
        {f.modes} <FieldHelp of="mode" />
      </h3>
      {items(modes).map((mode, i) => (
        <div className="mode" key={mode.path}>
          <ModeFields lens={mode} />
          <PhaseTable lens={at(mode, "phases")} />
          {readOnly || modes.value.length === 1 ? null : (
            <div className="row">
              <button type="button" className="button button-small" onClick={() => modes.set(without(modes.value, i))}>
                {words.forms.remove(mode.value.id)}
              </button>
            </div>
          )}
        </div>
      ))}
      {readOnly ? null : (
        <div className="row">
          <button type="button" className="button button-small" onClick={addMode}>
            + {f.addMode}
          </button>
        </div>
      )}
      <details>
        <summary>{w.more}</summary>
        <div className="fields" style={{ marginTop: 10 }}>
          <MomentField label={f.windowStart} help="window" lens={at(at(lens, "window"), "start")} empty={null} />
          <MomentField label={f.windowEnd} lens={at(at(lens, "window"), "end")} empty={null} />
          <TextField label={f.startSkill} help="startSkill" lens={at(lens, "startSkill")} empty={null} suggestions={skills} />
          <CheckField label={f.selfStart} help="selfStart" lens={at(lens, "selfStart")} />
          <CheckField label={f.prepareEarly} help="prepareEarly" lens={at(lens, "prepareEarly")} />
          <CheckField
            label={f.split}
            help="split"
            lens={{
              ...at(lens, "split"),
              value: split !== null,
              set: (on: boolean) => lens.set({ ...lens.value, split: on ? { lots: 2, minPieces: 1 } : null }),
            }}
          />
          {split ? (
            <>
              <NumberField label={f.lots} lens={at(narrowed(at(lens, "split"), split), "lots")} />
              <NumberField label={f.minPieces} lens={at(narrowed(at(lens, "split"), split), "minPieces")} />
            </>
          ) : null}
          <ListField
            label={f.needsCalibrations}
            help="calibration"
            hint={calibrations.join(", ")}
            lens={at(lens, "needsCalibrations")}
          />
          <ListField label={f.calibrates} lens={at(lens, "calibrates")} />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
        {kits.length > 0 ? (
          <>
            <h3>
              {f.kits} <FieldHelp of="kit" />
            </h3>
            <Rows lens={at(lens, "kits")} what={f.kit} add={f.kit} fresh={() => ({ kit: kits[0]?.id ?? "", count: 1 })}>
              {(kit) => (
                <>
                  <ChoiceField
                    label={f.kit}
                    lens={at(kit, "kit")}
                    choices={kits.map(({ id, name }) => ({ value: id, label: name || id }))}
                  />
                  <NumberField label={f.count} lens={at(kit, "count")} />
                </>
              )}
            </Rows>
          </>
        ) : null}
      </details>
    </>
  );
}

function ModeFields({ lens }: { readonly lens: Lens<ModeInForm> }) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const calendars = useQuery(plantQuery("calendars")).data ?? [];
  const tables = useQuery(plantQuery("setup-tables")).data ?? [];
  const chosen = lens.value.machines.map((id) => machines.find((machine) => machine.id === id));
  const families = lens.value.families ?? lens.value.machines.map(() => null);
  const machinesLens: Lens<string[]> = {
    ...at(lens, "machines"),
    set: (next) => {
      const old = new Map(lens.value.machines.map((id, i) => [id, families[i] ?? null]));
      const wanted = next.map((id) => old.get(id) ?? null);
      lens.set({ ...lens.value, machines: next, families: wanted.some((family) => family !== null) ? wanted : undefined });
    },
  };
  const setFamily = (index: number, family: string | number | null): void => {
    const next = lens.value.machines.map((_, i) => (i === index ? family : (families[i] ?? null)));
    lens.set({ ...lens.value, families: next.some((entry) => entry !== null) ? next : undefined });
  };
  return (
    <div className="fields">
      <TextField label={f.modeId} lens={at(lens, "id")} />
      <ChipsField
        label={f.machines}
        hint={lens.value.machines.length === 0 ? f.noMachine : undefined}
        width="wide"
        lens={machinesLens}
        choices={machines.map(({ id, name }) => ({ value: id, label: name || id }))}
      />
      {lens.value.machines.length === 0 ? (
        <ChoiceField
          label={f.workCalendar}
          lens={at(lens, "calendar")}
          choices={[{ value: null, label: f.elapsed }, ...calendars.map(({ id, name }) => ({ value: id, label: name || id }))]}
        />
      ) : null}
      {chosen.map((machine, i) => {
        if (!machine || machine.setup.kind === "none") return null;
        const label = f.family(machine.name || machine.id);
        const path = `${lens.path}/families/${i}`;
        const family = families[i] ?? null;
        if (machine.setup.kind === "temperature") {
          return typeof family === "number" ? (
            <ScaledField
              key={machine.id}
              label={label}
              help="temperatureFamily"
              unit="°C"
              scale={1000}
              lens={{ ...lens, path, value: family, set: (value: number) => setFamily(i, value) }}
            />
          ) : (
            <Field key={machine.id} label={label} help="temperatureFamily" fault={lens.form.faultAt(path)}>
              {(control) => (
                <button
                  {...control}
                  type="button"
                  className="button button-small"
                  disabled={lens.form.readOnly}
                  onClick={() => setFamily(i, ROOM)}
                >
                  + 23 °C
                </button>
              )}
            </Field>
          );
        }
        const tableId = machine.setup.table;
        const table = tables.find(({ id }) => id === tableId);
        return (
          <ChoiceField
            key={machine.id}
            label={label}
            help="family"
            lens={{ ...lens, path, value: family, set: (value: string | number | null) => setFamily(i, value) }}
            choices={[
              { value: null, label: words.forms.none },
              ...(table?.families ?? []).map((name) => ({ value: name as string | number | null, label: name })),
            ]}
          />
        );
      })}
    </div>
  );
}

/** 23 °C in thousandths; only differences count, so degrees Celsius serve as well as kelvin. */
const ROOM = 23_000;
