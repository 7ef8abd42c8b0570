/** A campaign as a form: what is tested, what the rig must do, how long by which estimate, in which sessions, when. */
import { useQuery } from "@tanstack/react-query";
import type { Campaign } from "../../../src/contract/campaign/campaign-schema.ts";
import { PLANNERS, plantQuery, useMay } from "../../client/shop.ts";
import { CheckField, ChipsField, ChoiceField } from "../../forms/choice-fields.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { Rows } from "../../forms/rows.tsx";
import {
  DurationField,
  NumberField,
  OptionalDecimalField,
  OptionalScaledField,
  ScaledField,
  TextField,
} from "../../forms/text-fields.tsx";
import { MomentField } from "../../forms/time-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { CampaignTimeFields } from "./campaign-time-fields.tsx";
import { knownAbilities } from "./known-abilities.ts";

const w = words.rigs;

export function CampaignForm({ lens }: { readonly lens: Lens<Campaign> }) {
  const mayPlan = useMay(PLANNERS);
  return (
    <div>
      <ArticleFields lens={lens} />
      <RigFields lens={lens} />
      <Section title={w.howLong}>
        <CampaignTimeFields lens={lens} />
      </Section>
      <SessionFields lens={lens} />
      <Section title={w.when}>
        <div className="fields">
          <MomentField label={w.onHand} lens={at(lens, "earliest")} />
          <MomentField label={w.wantedBy} hint={w.wantedByHint} lens={at(lens, "wantedBy")} empty={null} />
          {mayPlan ? <NumberField label={words.orders.fields.weight} help="weight" lens={at(lens, "weight")} /> : null}
        </div>
      </Section>
    </div>
  );
}

function ArticleFields({ lens }: { readonly lens: Lens<Campaign> }) {
  const kits = useQuery(plantQuery("kits")).data ?? [];
  return (
    <Section title={w.whatTested}>
      <div className="fields">
        <TextField label={w.campaignTitle} lens={at(lens, "title")} width="wide" />
        <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
      </div>
      <h3>{w.articles}</h3>
      {kits.length === 0 ? (
        <p className="quiet">{w.noKits}</p>
      ) : (
        <Rows
          lens={at(lens, "articles")}
          what={w.article}
          add={w.addArticle}
          fresh={() => ({
            kit: kits.find(({ id }) => !lens.value.articles.some(({ kit }) => kit === id))?.id ?? kits[0]?.id ?? "",
            count: 1,
          })}
        >
          {(article) => (
            <>
              <ChoiceField
                label={w.articleLabel}
                lens={at(article, "kit")}
                choices={kits.map(({ id, name }) => ({ value: id, label: name || id }))}
              />
              <NumberField label={words.orders.fields.count} lens={at(article, "count")} />
            </>
          )}
        </Rows>
      )}
      {lens.value.articles.length > 0 ? <CheckField label={w.holdArticles} lens={at(lens, "holdArticles")} /> : null}
    </Section>
  );
}

function RigFields({ lens }: { readonly lens: Lens<Campaign> }) {
  const machines = useQuery(plantQuery("machines")).data ?? [];
  const tables = useQuery(plantQuery("setup-tables")).data ?? [];
  const supplies = useQuery(plantQuery("supplies")).data ?? [];
  const rigs = machines.filter(({ kind }) => kind === "rig");
  const abilities = knownAbilities(rigs);
  const calibrations = [...new Set(rigs.flatMap((rig) => rig.calibrations.map(({ name }) => name)))].sort();
  const used = new Set(rigs.flatMap(({ setup }) => (setup.kind === "table" ? [setup.table] : [])));
  const families = [...new Set(tables.filter(({ id }) => used.has(id)).flatMap((table) => table.families))];
  const chosen = at(lens, "rigs");
  return (
    <Section title={w.whatRig}>
      {abilities.length === 0 ? (
        <p className="quiet">{w.noAbilities}</p>
      ) : (
        <Rows
          lens={at(lens, "needs")}
          what={w.need}
          add={w.addNeed}
          fresh={() => {
            const free = abilities.find(({ name }) => !lens.value.needs.some((need) => need.name === name)) ?? abilities[0];
            return { name: free?.name ?? "", unit: free?.unit ?? "", from: null, to: null };
          }}
        >
          {(need) => (
            <>
              <ChoiceField
                label={w.needName}
                lens={{
                  ...at(need, "name"),
                  set: (name: string) =>
                    need.set({ ...need.value, name, unit: abilities.find((known) => known.name === name)?.unit ?? "" }),
                }}
                choices={abilities.map(({ name }) => ({ value: name, label: name }))}
              />
              <OptionalDecimalField label={w.needFrom(need.value.unit)} lens={at(need, "from")} />
              <OptionalDecimalField label={w.needTo(need.value.unit)} lens={at(need, "to")} />
            </>
          )}
        </Rows>
      )}
      <div className="fields" style={{ marginTop: 10 }}>
        <CheckField label={w.backToBack} lens={at(lens, "backToBack")} />
        {families.length > 0 ? (
          <ChoiceField
            label={w.family}
            help="family"
            lens={at(lens, "family")}
            choices={[
              { value: null as string | null, label: w.familyAny },
              ...families.map((name) => ({ value: name as string | null, label: name })),
            ]}
          />
        ) : null}
        {rigs.some(({ setup }) => setup.kind === "temperature") ? (
          <OptionalScaledField
            label={w.startTemperature}
            help="temperatureFamily"
            unit="°C"
            scale={1000}
            empty={null}
            lens={{
              ...at(lens, "startTemperature"),
              set: (value) => lens.set({ ...lens.value, startTemperature: value ?? null }),
            }}
          />
        ) : null}
        {calibrations.length > 0 ? (
          <ChipsField
            label={w.calibrations}
            help="calibration"
            lens={at(lens, "calibrations")}
            choices={calibrations.map((name) => ({ value: name, label: name }))}
          />
        ) : null}
        <ChipsField
          label={w.onlyRigs}
          hint={w.onlyRigsHint}
          width="wide"
          lens={{ ...chosen, value: chosen.value ?? [], set: (next: string[]) => chosen.set(next.length === 0 ? null : next) }}
          choices={rigs.map(({ id, name }) => ({ value: id, label: name || id }))}
        />
      </div>
      {supplies.length > 0 ? (
        <>
          <h3>{w.draws}</h3>
          <Rows
            lens={at(lens, "draws")}
            what={w.draw}
            add={w.addDraw}
            fresh={() => ({
              supply: supplies.find(({ id }) => !lens.value.draws.some((d) => d.supply === id))?.id ?? supplies[0]?.id ?? "",
              amount: 50,
            })}
          >
            {(draw) => (
              <>
                <ChoiceField
                  label={w.supply}
                  lens={at(draw, "supply")}
                  choices={supplies.map(({ id, name }) => ({ value: id, label: name || id }))}
                />
                <NumberField
                  label={w.supplyAmount(supplies.find(({ id }) => id === draw.value.supply)?.unit ?? "")}
                  lens={at(draw, "amount")}
                />
              </>
            )}
          </Rows>
        </>
      ) : null}
    </Section>
  );
}

function SessionFields({ lens }: { readonly lens: Lens<Campaign> }) {
  const crews = useQuery(plantQuery("crews")).data ?? [];
  const skills = [...new Set(crews.flatMap((crew) => crew.skills))].sort();
  return (
    <Section title={w.sessions}>
      <div className="fields">
        <CheckField label={w.unattended} help="unattended" lens={at(lens, "unattended")} />
        {lens.value.unattended ? null : <CheckField label={w.mayPause} help="flow" lens={at(lens, "mayPause")} />}
        <CheckField label={w.sameRig} lens={at(lens, "sameRig")} />
      </div>
      {lens.value.unattended ? (
        <div style={{ margin: "8px 0 10px" }}>
          <Notice kind="warn">{w.unattendedCaution}</Notice>
        </div>
      ) : null}
      <div className="fields" style={{ marginTop: 10 }}>
        <ChoiceField label={w.skill} lens={at(lens, "skill")} choices={skills.map((skill) => ({ value: skill, label: skill }))} />
        <ScaledField label={w.people} scale={100} lens={at(lens, "people")} />
        <DurationField label={w.sessionLeast} lens={at(lens, "sessionLeast")} />
        <DurationField label={w.sessionMost} lens={at(lens, "sessionMost")} />
        <DurationField label={w.prepare} lens={at(lens, "prepareMinutes")} />
        <DurationField label={w.warmUp} lens={at(lens, "warmUpMinutes")} />
        <DurationField label={w.zeroBefore} lens={at(lens, "zeroBeforeMinutes")} />
        <DurationField label={w.zeroAfter} lens={at(lens, "zeroAfterMinutes")} />
        <DurationField label={w.clear} lens={at(lens, "clearMinutes")} />
        <DurationField label={w.rest} lens={at(lens, "restMinutes")} />
      </div>
    </Section>
  );
}
