/** The form of an upkeep rule: which machine, what makes it due, how far ahead, and the task. */
import { useQuery } from "@tanstack/react-query";
import type { UpkeepRuleInFile } from "../../../src/contract/api/upkeep.ts";
import { plantQuery } from "../../client/shop.ts";
import { ChoiceField } from "../../forms/choice-fields.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { DurationField, NumberField, ScaledField, TextField } from "../../forms/text-fields.tsx";
import { DateField } from "../../forms/time-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { words } from "../../words/words.ts";
import { runHoursText } from "../upkeep/trigger-text.ts";

const w = words.upkeep;
type Trigger = UpkeepRuleInFile["trigger"];
const KINDS = ["days", "runHours", "calibration"] as const;

export function UpkeepForm({ lens }: { readonly lens: Lens<UpkeepRuleInFile> }) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const crews = useQuery(plantQuery("crews")).data ?? [];
  const skills = [...new Set(crews.flatMap((crew) => crew.skills))].sort();
  return (
    <>
      <Section title={words.setup.kinds["upkeep-rules"].title}>
        <div className="fields">
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <ChoiceField
            label={w.columns.machine}
            lens={at(lens, "machine")}
            choices={machines.map(({ id, name }) => ({ value: id, label: name || id }))}
          />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Section title={w.trigger}>
        <TriggerFields lens={at(lens, "trigger")} machine={lens.value.machine} />
        <div className="fields" style={{ marginTop: 14 }}>
          <NumberField label={w.aheadDays} unit={w.days} lens={at(lens, "aheadDays")} />
          {lens.value.trigger.kind === "runHours" ? null : (
            <NumberField label={w.earlyDays} unit={w.days} lens={at(lens, "earlyDays")} />
          )}
          {lens.value.trigger.kind === "days" ? (
            <NumberField label={w.lateDays} hint={w.lateHint} unit={w.days} lens={at(lens, "lateDays")} />
          ) : null}
        </div>
      </Section>
      <Section title={w.task}>
        <div className="fields">
          <TextField label={w.taskTitle} lens={at(at(lens, "task"), "title")} width="two" />
          <DurationField label={w.taskMinutes} lens={at(at(lens, "task"), "minutes")} />
          <TextField label={w.taskSkill} lens={at(at(lens, "task"), "skill")} suggestions={skills} />
          <ScaledField label={w.taskPeople} scale={100} lens={at(at(lens, "task"), "people")} />
        </div>
      </Section>
    </>
  );
}

function TriggerFields({ lens, machine }: { readonly lens: Lens<Trigger>; readonly machine: string }) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const counted = useQuery(plantQuery("run-hour-rules")).data ?? [];
  const rules = counted.filter((rule) => rule.machine === machine);
  const calibrations = machines.find(({ id }) => id === machine)?.calibrations ?? [];
  const trigger = lens.value;
  const kind: Lens<Trigger["kind"]> = {
    form: lens.form,
    path: `${lens.path}/kind`,
    value: trigger.kind,
    set: (next) => {
      if (next === "days")
        lens.set({ kind: "days", every: 30, first: new Date().toISOString().slice(0, 10), counted: "lastDone" });
      else if (next === "runHours") lens.set({ kind: "runHours", rule: rules[0]?.id ?? "" });
      else lens.set({ kind: "calibration", calibration: calibrations[0]?.name ?? "" });
    },
  };
  const part = <T,>(key: string, value: T, set: (next: T) => Trigger): Lens<T> => ({
    form: lens.form,
    path: `${lens.path}/${key}`,
    value,
    set: (next) => lens.set(set(next)),
  });
  return (
    <div className="fields">
      <ChoiceField label={w.trigger} lens={kind} choices={KINDS.map((value) => ({ value, label: w.triggerKinds[value] }))} />
      {trigger.kind === "days" ? (
        <>
          <NumberField label={w.every} unit={w.days} lens={part("every", trigger.every, (every) => ({ ...trigger, every }))} />
          <ChoiceField
            label={w.counted}
            lens={part("counted", trigger.counted, (counted) => ({ ...trigger, counted }))}
            choices={(["lastDone", "grid"] as const).map((value) => ({ value, label: w.countedFrom[value] }))}
          />
          <DateField
            label={trigger.counted === "grid" ? w.first : w.firstTime}
            lens={part("first", trigger.first, (first) => ({ ...trigger, first }))}
          />
        </>
      ) : null}
      {trigger.kind === "runHours" ? (
        <ChoiceField
          label={w.runHourRule}
          hint={rules.length === 0 ? w.noRunHourRule : undefined}
          lens={part("rule", trigger.rule, (rule) => ({ ...trigger, rule }))}
          choices={[...new Set([trigger.rule, ...rules.map(({ id }) => id)])].map((id) => ({
            value: id,
            label: id === "" ? "" : runHoursText(id, counted),
          }))}
        />
      ) : null}
      {trigger.kind === "calibration" ? (
        <ChoiceField
          label={w.calibration}
          hint={calibrations.length === 0 ? w.noCalibration : undefined}
          lens={part("calibration", trigger.calibration, (calibration) => ({ ...trigger, calibration }))}
          choices={[...new Set([trigger.calibration, ...calibrations.map(({ name }) => name)])].map((name) => ({
            value: name,
            label: name,
          }))}
        />
      ) : null}
    </div>
  );
}
