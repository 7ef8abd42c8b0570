/** A setup table as a matrix: rows are what the machine stands in, columns what it is set up for. */
import { useId } from "react";
import type { SetupTableInFile } from "../../../src/contract/file/plant-schema.ts";
import { at, type Lens } from "../../forms/lens.ts";
import { DurationField, TextField } from "../../forms/text-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { words } from "../../words/words.ts";
import { mirrored, withFamily, withMinutes, withoutFamily } from "./plant-defaults.ts";

const w = words.setup;

export function SetupTableForm({ lens }: { readonly lens: Lens<SetupTableInFile> }) {
  const table = lens.value;
  const id = useId();
  const { readOnly } = lens.form;
  const rename = (index: number, name: string): void => lens.set({ ...table, families: table.families.map((old, i) => (i === index ? name : old)) });
  const largest = Math.max(1, ...table.minutes.flat());
  return (
    <>
      <Section title={w.table}>
        <div className="fields">
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Section
        title={w.matrix}
        actions={
          readOnly ? null : (
            <>
              <button type="button" className="button button-small" onClick={() => lens.set(mirrored(table))}>
                {w.mirror}
              </button>
              <button type="button" className="button button-small" onClick={() => lens.set(withFamily(table, nextName(table.families), largest))}>
                + {w.addFamily}
              </button>
            </>
          )
        }
      >
        <div className="table-frame">
          <table className="matrix">
            <thead>
              <tr>
                <td />
                {table.families.map((name, i) => (
                  <th key={`${id}c${i + 1}`} scope="col">
                    {name}
                  </th>
                ))}
                <td />
              </tr>
            </thead>
            <tbody>
              {table.families.map((_, from) => (
                <tr key={`${id}r${from + 1}`}>
                  <th scope="row">
                    <TextField bare label={w.familyName(from)} lens={{ form: lens.form, path: `${lens.path}/families/${from}`, value: table.families[from] ?? "", set: (name: string) => rename(from, name) }} />
                  </th>
                  {table.families.map((_, to) => (
                    <td key={`${id}d${to + 1}`} style={{ background: shade((table.minutes[from]?.[to] ?? 0) / largest) }}>
                      <DurationField
                        bare
                        label={w.matrixCell(table.families[from] ?? "", table.families[to] ?? "")}
                        lens={{ form: lens.form, path: `${lens.path}/minutes/${from}/${to}`, value: table.minutes[from]?.[to] ?? 0, set: (minutes: number) => lens.set(withMinutes(table, from, to, minutes)) }}
                      />
                    </td>
                  ))}
                  <td>
                    {readOnly || table.families.length === 1 ? null : (
                      <button type="button" className="icon-button" aria-label={words.forms.remove(`${w.family} ${table.families[from] ?? ""}`)} onClick={() => lens.set(withoutFamily(table, from))}>
                        ✕
                      </button>
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </Section>
    </>
  );
}

/** Long setups stand out; the number says it too. */
const shade = (share: number): string => `color-mix(in srgb, var(--machine-tint) ${Math.round(share * 100)}%, transparent)`;

function nextName(families: readonly string[]): string {
  for (let code = 65; code < 91; code += 1) {
    const name = String.fromCharCode(code);
    if (!families.includes(name)) return name;
  }
  return `F${families.length + 1}`;
}
