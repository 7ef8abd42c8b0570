/** What an hour costs: machines, crews, nights, overtime, lateness. Every rate may stay empty. */
import { useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useMemo } from "react";
import type { z } from "zod";
import { ratesSchema } from "../../../src/contract/api/rates.ts";
import { settingQuery, useSaveSetting } from "../../client/publishing.ts";
import type { Answer } from "../../client/request.ts";
import { PLANNERS, plantQuery, useMay } from "../../client/shop.ts";
import { EditFrame } from "../../forms/edit-frame.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { OptionalScaledField, TextField } from "../../forms/text-fields.tsx";
import { useEditing } from "../../forms/use-editing.ts";
import { Page, Section } from "../../parts/page.tsx";
import { ReadOnlyNote } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";

const w = words.scenarios.rates;

type RatesForm = z.infer<typeof ratesSchema>;

export function RatesPage() {
  const answer = useSuspenseQuery(settingQuery("rates")).data;
  const machines = useSuspenseQuery(plantQuery("machines")).data;
  const crews = useSuspenseQuery(plantQuery("crews")).data;
  const client = useQueryClient();
  const mayEdit = useMay(PLANNERS);
  const save = useSaveSetting("rates");
  const written = useMemo(
    (): Answer<RatesForm> => ({ value: ratesSchema.parse(answer.value.value), revision: answer.revision }),
    [answer],
  );
  const editing = useEditing<RatesForm>({
    schema: ratesSchema as z.ZodType<RatesForm>,
    answer: written,
    readOnly: !mayEdit,
    what: () => w.title,
    id: () => "",
    send: async ({ value, revision }) => void (await save.mutateAsync({ value, revision })),
    readAgain: async () => {
      const again = await client.fetchQuery({ ...settingQuery("rates"), staleTime: 0 });
      return { value: ratesSchema.parse(again.value.value), revision: again.revision };
    },
  });
  const { root } = editing.form;
  const { currency } = root.value;
  return (
    <Page narrow title={w.title} about={w.about} back={<Link to="/setup">{words.shell.back(words.setup.title)}</Link>}>
      {mayEdit ? null : <ReadOnlyNote roles={PLANNERS} />}
      <EditFrame editing={editing} readOnly={!mayEdit} what={w.what}>
        <Section title={w.currency}>
          <div className="fields">
            <TextField label={w.currency} hint={w.currencyHint} lens={at(root, "currency")} />
          </div>
        </Section>
        <ByThing
          title={w.machines}
          about={w.machinesAbout}
          list={machines}
          unit={w.perHour(currency)}
          lens={at(root, "machineHour")}
        />
        <ByThing title={w.crews} about={w.crewsAbout} list={crews} unit={w.perHour(currency)} lens={at(root, "crewHour")} />
        <Section title={w.other} about={w.otherAbout}>
          <div className="fields">
            <Rate label={w.night} unit={w.perHour(currency)} lens={at(root, "nightHour")} />
            <Rate label={w.overtime} unit={w.percent} lens={at(root, "overtimePercent")} />
            <Rate label={w.late} unit={w.perDay(currency)} lens={at(root, "lateDay")} />
          </div>
        </Section>
      </EditFrame>
    </Page>
  );
}

type RateProps = { readonly label: string; readonly unit: string; readonly lens: Lens<number | null> };

/** Kept as a decimal, typed with two places. */
function Rate({ label, unit, lens }: RateProps) {
  const hundredths: Lens<number | null> = {
    ...lens,
    value: lens.value === null ? null : Math.round(lens.value * 100),
    set: (next) => lens.set(next === null ? null : next / 100),
  };
  return (
    <OptionalScaledField
      label={label}
      unit={unit}
      scale={100}
      empty={null}
      lens={hundredths as Lens<number | null | undefined>}
    />
  );
}

type ByThingProps = {
  readonly title: string;
  readonly about: string;
  readonly list: readonly { readonly id: string; readonly name?: string | undefined }[];
  readonly unit: string;
  readonly lens: Lens<Record<string, number>>;
};

function ByThing({ title, about, list, unit, lens }: ByThingProps) {
  const one = (id: string): Lens<number | null> => ({
    value: lens.value[id] ?? null,
    path: `${lens.path}/${id}`,
    form: lens.form,
    set: (next) => {
      const { [id]: _before, ...rest } = lens.value;
      lens.set(next === null ? rest : { ...rest, [id]: next });
    },
  });
  return (
    <Section title={title} about={about}>
      <div className="fields">
        {list.map(({ id, name }) => (
          <Rate key={id} label={name || id} unit={unit} lens={one(id)} />
        ))}
      </div>
    </Section>
  );
}
