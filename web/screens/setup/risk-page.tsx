/** What the shop says may go otherwise than planned. Every part left alone counts as common practice, and says so. */
import { useQuery, useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useMemo } from "react";
import type { z } from "zod";
import type { Setting, SettingView } from "../../../src/contract/api/setting.ts";
import { riskProfileSchema } from "../../../src/contract/risk-profile.ts";
import { DEFAULT_RISK_PROFILE } from "../../../src/core/risk/risk-profile.ts";
import { settingQuery, useSaveSetting } from "../../client/publishing.ts";
import type { Answer } from "../../client/request.ts";
import { ordersQuery, PLANNERS, plantQuery, useMay, useSiteTime } from "../../client/shop.ts";
import { ChoiceField } from "../../forms/choice-fields.tsx";
import { EditFrame } from "../../forms/edit-frame.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { DecimalField, ScaledField } from "../../forms/text-fields.tsx";
import { useEditing } from "../../forms/use-editing.ts";
import { Page, Section } from "../../parts/page.tsx";
import { ReadOnlyNote } from "../../parts/states.tsx";
import { numberText, shareText } from "../../present/amounts.ts";
import { instantText } from "../../present/instant.ts";
import { words } from "../../words/words.ts";

const w = words.howSure.settings;
type Risk = Setting<"risk">;
type Point = { best: number; likely: number; worst: number };
type Material = NonNullable<Risk["material"]>;
const KINDS = ["prepare", "run", "clear", "outside"] as const;
const POINTS = ["best", "likely", "worst"] as const;
const HOUR = 60;
const FIRST_STOPS = { meanBetween: 200 * HOUR, meanRepair: 4 * HOUR };

export function RiskPage() {
  const answer = useSuspenseQuery(settingQuery("risk")).data;
  const written = useMemo((): Answer<Risk> => ({ value: answer.value.value, revision: answer.revision }), [answer]);
  return <RiskSheet answer={written} view={answer.value} />;
}

function RiskSheet({ answer, view }: { readonly answer: Answer<Risk>; readonly view: SettingView<"risk"> }) {
  const client = useQueryClient();
  const mayEdit = useMay(PLANNERS);
  const time = useSiteTime();
  const save = useSaveSetting("risk");
  const editing = useEditing<Risk>({
    schema: riskProfileSchema as z.ZodType<Risk>,
    answer,
    readOnly: !mayEdit,
    what: () => w.title,
    id: () => "",
    send: ({ value, revision }) => save.mutateAsync({ value, revision }).then(() => undefined),
    readAgain: async () => {
      const again = await client.fetchQuery({ ...settingQuery("risk"), staleTime: 0 });
      return { value: again.value.value, revision: again.revision };
    },
  });
  const { root } = editing.form;
  return (
    <Page narrow title={w.title} about={w.about} back={<Link to="/setup">{words.shell.back(words.setup.title)}</Link>}>
      {mayEdit ? null : <ReadOnlyNote roles={PLANNERS} />}
      <p className="quiet">
        {w.defaultsSaid}{" "}
        {view.changedBy && view.changedAt ? w.changed(view.changedBy, instantText(view.changedAt, time.zone)) : w.never}
      </p>
      <EditFrame editing={editing} readOnly={!mayEdit} what={w.title}>
        <Durations root={root} />
        <MachineStops root={root} />
        <MaterialPart root={root} />
      </EditFrame>
    </Page>
  );
}

type RootProps = { readonly root: Lens<Risk> };

/** With one key of the object changed, or taken out. */
function withKey<T extends object>(of: T | undefined, key: string, value: unknown): T | undefined {
  const next = { ...of, [key]: value } as Record<string, unknown>;
  if (value === undefined) delete next[key];
  return Object.keys(next).length === 0 ? undefined : (next as T);
}
const put = (root: Lens<Risk>, key: keyof Risk, value: unknown): void => root.set(withKey(root.value, key, value) ?? {});

/** A tick that puts the shop's own figures in place of common practice, or takes them out again. */
function OwnTick({
  on,
  name,
  readOnly,
  onChange,
}: {
  readonly on: boolean;
  readonly name: string;
  readonly readOnly: boolean;
  readonly onChange: (on: boolean) => void;
}) {
  return (
    <label className="check">
      <input
        type="checkbox"
        checked={on}
        disabled={readOnly}
        aria-label={`${w.own}: ${name}`}
        onChange={(event) => onChange(event.target.checked)}
      />
      {w.own}
    </label>
  );
}

function Durations({ root }: RootProps) {
  const own = root.value.durations ?? {};
  return (
    <Section title={w.durationsTitle} about={w.durations}>
      <table className="table table-inputs">
        <thead>
          <tr>
            <th scope="col" />
            <th scope="col" />
            {POINTS.map((point) => (
              <th scope="col" key={point}>
                {w[point]}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {KINDS.map((kind) => {
            const base = DEFAULT_RISK_PROFILE.durations[kind];
            const lens: Lens<Point> = {
              value: own[kind] ?? base,
              path: `${root.path}/durations/${kind}`,
              form: root.form,
              set: (next) => put(root, "durations", withKey(own, kind, next)),
            };
            return (
              <tr key={kind}>
                <th scope="row">{w.kinds[kind]}</th>
                <td>
                  <OwnTick
                    on={own[kind] !== undefined}
                    name={w.kinds[kind]}
                    readOnly={root.form.readOnly}
                    onChange={(on) => put(root, "durations", withKey(own, kind, on ? base : undefined))}
                  />
                </td>
                {POINTS.map((point) => (
                  <td key={point} style={{ width: 120 }} className={own[kind] === undefined ? "quiet" : undefined}>
                    {own[kind] === undefined ? (
                      numberText(base[point])
                    ) : (
                      <DecimalField bare label={`${w.kinds[kind]}: ${w[point]}`} lens={at(lens, point)} />
                    )}
                  </td>
                ))}
              </tr>
            );
          })}
        </tbody>
      </table>
    </Section>
  );
}

function MachineStops({ root }: RootProps) {
  const machines = useSuspenseQuery(plantQuery("machines")).data;
  const own = root.value.stops ?? {};
  return (
    <Section title={w.stopsTitle} about={w.stops}>
      <table className="table table-inputs">
        <thead>
          <tr>
            <th scope="col">{w.machine}</th>
            <th scope="col" />
            <th scope="col">{w.meanBetween}</th>
            <th scope="col">{w.meanRepair}</th>
          </tr>
        </thead>
        <tbody>
          {machines.map(({ id, name = id }) => {
            const stops = own[id];
            const lens: Lens<typeof FIRST_STOPS> = {
              value: stops ?? FIRST_STOPS,
              path: `${root.path}/stops/${id}`,
              form: root.form,
              set: (next) => put(root, "stops", withKey(own, id, next)),
            };
            return (
              <tr key={id}>
                <th scope="row">{name}</th>
                <td>
                  <OwnTick
                    on={stops !== undefined}
                    name={name}
                    readOnly={root.form.readOnly}
                    onChange={(on) => put(root, "stops", withKey(own, id, on ? FIRST_STOPS : undefined))}
                  />
                </td>
                {stops === undefined ? (
                  <td colSpan={2} className="quiet">
                    {w.neverStops}
                  </td>
                ) : (
                  (["meanBetween", "meanRepair"] as const).map((key) => (
                    <td key={key} style={{ width: 170 }}>
                      <ScaledField bare label={`${name}: ${w[key]}`} unit={w.hours} scale={HOUR} lens={at(lens, key)} />
                    </td>
                  ))
                )}
              </tr>
            );
          })}
        </tbody>
      </table>
    </Section>
  );
}

function MaterialPart({ root }: RootProps) {
  const base = DEFAULT_RISK_PROFILE.material;
  const orders = useQuery(ordersQuery).data ?? [];
  const own = root.value.orders ?? {};
  const open = orders.filter(({ id, state }) => state !== "done" && own[id] === undefined);
  const lens: Lens<Material> = {
    value: root.value.material ?? base,
    path: `${root.path}/material`,
    form: root.form,
    set: (next) => put(root, "material", next),
  };
  const starts: Lens<"notBeforePlanned" | "asSoonAsPossible"> = {
    value: root.value.starts ?? DEFAULT_RISK_PROFILE.starts,
    path: `${root.path}/starts`,
    form: root.form,
    set: (next) => put(root, "starts", next),
  };
  const stay: Lens<number> = {
    value: root.value.stayMinutes ?? DEFAULT_RISK_PROFILE.stayMinutes,
    path: `${root.path}/stayMinutes`,
    form: root.form,
    set: (next) => put(root, "stayMinutes", next),
  };
  return (
    <>
      <Section
        title={w.materialTitle}
        about={w.material}
        actions={
          <OwnTick
            on={root.value.material !== undefined}
            name={w.materialTitle}
            readOnly={root.form.readOnly}
            onChange={(on) => put(root, "material", on ? base : undefined)}
          />
        }
      >
        {root.value.material === undefined ? (
          <p className="quiet">
            {w.chance} {shareText(base.chance)}, {w.delay} {POINTS.map((point) => base.delayMinutes[point] / HOUR).join(" / ")}{" "}
            {w.hours}
          </p>
        ) : (
          <MaterialFields lens={lens} />
        )}
      </Section>
      <Section title={w.ordersTitle} about={w.orders}>
        {Object.keys(own).map((id) => (
          <div className="line-item" key={id}>
            <h3>
              {w.order} {id}
            </h3>
            <MaterialFields
              lens={{
                value: own[id] ?? base,
                path: `${root.path}/orders/${id}`,
                form: root.form,
                set: (next) => put(root, "orders", withKey(own, id, next)),
              }}
            />
            {root.form.readOnly ? null : (
              <button
                type="button"
                className="button button-small"
                onClick={() => put(root, "orders", withKey(own, id, undefined))}
              >
                {words.forms.remove(`${w.order} ${id}`)}
              </button>
            )}
          </div>
        ))}
        {root.form.readOnly ? null : (
          <select
            aria-label={w.addOrder}
            value=""
            onChange={(event) => put(root, "orders", withKey(own, event.target.value, root.value.material ?? base))}
          >
            <option value="" disabled>
              {w.addOrder} …
            </option>
            {open.map(({ id, name }) => (
              <option key={id} value={id}>
                {id} {name}
              </option>
            ))}
          </select>
        )}
      </Section>
      <Section title={w.starts}>
        <div className="fields">
          <ChoiceField
            label={w.starts}
            lens={starts}
            choices={(["notBeforePlanned", "asSoonAsPossible"] as const).map((value) => ({ value, label: w.startsNames[value] }))}
            width="wide"
          />
        </div>
      </Section>
      <Section title={w.stayTitle} about={w.stay}>
        <div className="fields">
          <ScaledField label={w.stayLabel} unit={w.minutes} scale={1} lens={stay} />
        </div>
      </Section>
    </>
  );
}

/** A share as per cent, to a tenth. */
const inPercent = (lens: Lens<number>): Lens<number> => ({
  ...lens,
  value: Math.round(lens.value * 1000) / 10,
  set: (percent) => lens.set(percent / 100),
});

function MaterialFields({ lens }: { readonly lens: Lens<Material> }) {
  return (
    <div className="fields">
      <DecimalField label={w.chance} unit={w.percent} lens={inPercent(at(lens, "chance"))} />
      {POINTS.map((point) => (
        <ScaledField
          key={point}
          label={`${w.delay}: ${w[point]}`}
          unit={w.hours}
          scale={HOUR}
          lens={at(at(lens, "delayMinutes"), point)}
        />
      ))}
    </div>
  );
}
