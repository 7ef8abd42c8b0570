/** What window is looked for, in six fields: length, who is there, breaks, rig and ability, supply, between when. */
import { useQuery } from "@tanstack/react-query";
import type { WindowWishInput } from "../../../src/contract/api/questions/free-windows.ts";
import { plantQuery } from "../../client/shop.ts";
import { Field, FieldGroup } from "../../forms/field.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { DecimalField, DurationField, NumberField } from "../../forms/text-fields.tsx";
import { MomentField } from "../../forms/time-fields.tsx";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { knownAbilities } from "./known-abilities.ts";

const w = words.rigs;

export function FinderForm({ lens }: { readonly lens: Lens<WindowWishInput> }) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const crews = useQuery(plantQuery("crews")).data ?? [];
  const supplies = useQuery(plantQuery("supplies")).data ?? [];
  const wish = lens.value;
  const skills = [...new Set(crews.flatMap((crew) => crew.skills))].sort();
  const listed = machines.filter(({ kind }) => wish.of === "any" || kind === "rig" || wish.machines?.length === 1);
  const abilities = knownAbilities(listed);
  const [need] = wish.needs;
  const [draw] = wish.draws;
  const unit = supplies.find(({ id }) => id === draw?.supply)?.unit ?? "";
  const presence = wish.unattended ? "alone" : wish.skill === null ? "site" : `skill ${wish.skill}`;
  const setPresence = (value: string): void =>
    lens.set({ ...wish, unattended: value === "alone", skill: value.startsWith("skill ") ? value.slice(6) : null });
  const rig = wish.machines?.[0] ?? (wish.of === "any" ? "*" : "");
  const setRig = (value: string): void =>
    lens.set({ ...wish, of: value === "*" ? "any" : "rig", machines: value === "" || value === "*" ? null : [value] });
  return (
    <div className="fields finder-fields">
      <DurationField label={w.length} hint={w.lengthHint} lens={at(lens, "minutes")} />
      <Field label={w.presence} fault={null}>
        {(control) => (
          <select {...control} value={presence} onChange={(e) => setPresence(e.target.value)}>
            <option value="alone">{w.alone}</option>
            <option value="site">{w.onSite}</option>
            {skills.map((skill) => (
              <option key={skill} value={`skill ${skill}`}>
                {w.withPerson(skill)}
              </option>
            ))}
          </select>
        )}
      </Field>
      <Field label={w.rests} fault={null}>
        {(control) => (
          <select {...control} value={wish.restMost} onChange={(e) => lens.set({ ...wish, restMost: Number(e.target.value) })}>
            {[...new Set([0, 30, 60, 120, wish.restMost])].map((minutes) => (
              <option key={minutes} value={minutes}>
                {minutes === 0 ? w.restsNone : w.restsMost(durationText(minutes))}
              </option>
            ))}
          </select>
        )}
      </Field>
      <FieldGroup label={w.rig} fault={null}>
        <div className="finder-pair">
          <select aria-label={w.rig} value={rig} onChange={(e) => setRig(e.target.value)}>
            <option value="">{w.anyRig}</option>
            <option value="*">{w.anyMachine}</option>
            {machines
              .filter(({ kind }) => kind === "rig" || wish.of === "any")
              .map(({ id, name }) => (
                <option key={id} value={id}>
                  {name || id}
                </option>
              ))}
          </select>
          <select
            aria-label={w.ability}
            value={need?.name ?? ""}
            onChange={(e) => {
              const known = abilities.find(({ name }) => name === e.target.value);
              lens.set({ ...wish, needs: known ? [{ name: known.name, unit: known.unit, from: null, to: known.most }] : [] });
            }}
          >
            <option value="">{w.noAbility}</option>
            {abilities.map(({ name }) => (
              <option key={name} value={name}>
                {name}
              </option>
            ))}
          </select>
          {need ? (
            <DecimalField
              bare
              label={w.abilityValue(need.unit)}
              unit={need.unit}
              lens={{
                form: lens.form,
                path: `${lens.path}/needs/0/to`,
                value: need.to ?? 0,
                set: (to: number) => lens.set({ ...wish, needs: [{ ...need, to }] }),
              }}
            />
          ) : null}
        </div>
      </FieldGroup>
      <FieldGroup label={w.supply} fault={null}>
        <div className="finder-pair">
          <select
            aria-label={w.supply}
            value={draw?.supply ?? ""}
            onChange={(e) =>
              lens.set({ ...wish, draws: e.target.value === "" ? [] : [{ supply: e.target.value, amount: draw?.amount ?? 50 }] })
            }
          >
            <option value="">{w.noSupply}</option>
            {supplies.map(({ id, name }) => (
              <option key={id} value={id}>
                {name || id}
              </option>
            ))}
          </select>
          {draw ? (
            <NumberField
              bare
              label={w.supplyAmount(unit)}
              unit={unit}
              lens={{
                form: lens.form,
                path: `${lens.path}/draws/0/amount`,
                value: draw.amount,
                set: (amount: number) => lens.set({ ...wish, draws: [{ ...draw, amount }] }),
              }}
            />
          ) : null}
        </div>
      </FieldGroup>
      <MomentField label={w.earliest} lens={at(lens, "earliest")} empty={null} />
      <MomentField label={w.before} lens={at(lens, "before")} empty={null} />
    </div>
  );
}
