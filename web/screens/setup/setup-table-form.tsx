/** A setup table as a matrix: rows are what the machine stands in, columns what it is set up for. */
import type { SetupTableInFile } from "../../../src/contract/file/plant-schema.ts";
import { at, items, type Lens } from "../../forms/lens.ts";
import { DurationField, TextField } from "../../forms/text-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { words } from "../../words/words.ts";
import { mirrored, withFamily, withMinutes, withoutFamily } from "./plant-defaults.ts";

const w = words.setup;

export function SetupTableForm({ lens }: { readonly lens: Lens<SetupTableInFile> }) {
  const table = lens.value;
  const families = items(at(lens, "families"));
  const { readOnly } = lens.form;
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
              <button
                type="button"
                className="button button-small"
                onClick={() => lens.set(withFamily(table, nextName(table.families), largest))}
              >
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
                {families.map((family) => (
                  <th key={family.path} scope="col">
                    {family.value}
                  </th>
                ))}
                <td />
              </tr>
            </thead>
            <tbody>
              {families.map((family, from) => (
                <tr key={family.path}>
                  <th scope="row">
                    <TextField bare label={w.familyName(from)} lens={family} />
                  </th>
                  {families.map((target, to) => (
                    <td key={target.path} style={{ background: shade((table.minutes[from]?.[to] ?? 0) / largest) }}>
                      <DurationField
                        bare
                        label={w.matrixCell(family.value, target.value)}
                        lens={{
                          form: lens.form,
                          path: `${lens.path}/minutes/${from}/${to}`,
                          value: table.minutes[from]?.[to] ?? 0,
                          set: (minutes: number) => lens.set(withMinutes(table, from, to, minutes)),
                        }}
                      />
                    </td>
                  ))}
                  <td>
                    {readOnly || table.families.length === 1 ? null : (
                      <button
                        type="button"
                        className="icon-button"
                        aria-label={words.forms.remove(`${w.family} ${family.value}`)}
                        onClick={() => lens.set(withoutFamily(table, from))}
                      >
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
