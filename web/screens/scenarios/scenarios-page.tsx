/** Scenarios at a glance: which answer hurts least, what each one moves, and all of them with what they change. One action: adopt. */
import { useQuery, useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useState } from "react";
import { COMPARED_MOST, type ScenarioComparison, type ScenarioHead } from "../../../src/contract/api/scenario.ts";
import { comparisonQuery, scenariosQuery } from "../../client/scenarios.ts";
import { PLANNERS, planQuery, useMay, useSiteTime } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { Empty, Failure, Loading, ReadOnlyNote } from "../../parts/states.tsx";
import { instantText } from "../../present/instant.ts";
import { words } from "../../words/words.ts";
import { AdoptDialog } from "./adopt-dialog.tsx";
import { ComparisonTable, LatenessByOrder, LoadByMachine } from "./comparison-table.tsx";
import { MovedStrip } from "./moved-strip.tsx";
import { NewScenarioDialog } from "./new-scenario-dialog.tsx";

const w = words.scenarios;

export function ScenariosPage() {
  const scenarios = useSuspenseQuery(scenariosQuery).data;
  const mayEdit = useMay(PLANNERS);
  const [adding, setAdding] = useState(false);
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const open = scenarios.filter(({ state }) => state === "open");
  const over = scenarios.filter(({ state }) => state !== "open");
  const chosen = open.filter(({ id }) => !left.has(id)).slice(0, COMPARED_MOST);
  const choose = (id: string, on: boolean): void => {
    const next = new Set(left);
    if (on) next.delete(id);
    else next.add(id);
    // Beyond the most, the last ones of the list would stay unseen: so the choice is made explicit.
    const wanted = open.filter((each) => !next.has(each.id));
    for (const each of wanted.slice(COMPARED_MOST)) if (each.id !== id) next.add(each.id);
    setLeft(next);
  };
  return (
    <Page
      title={w.title}
      about={w.about}
      actions={
        <>
          <Link className="button" to="/contract">
            {w.contract.title}
          </Link>
          {mayEdit ? (
            <button type="button" className="button button-main" onClick={() => setAdding(true)}>
              {w.add}
            </button>
          ) : null}
        </>
      }
    >
      {mayEdit ? null : <ReadOnlyNote roles={PLANNERS} />}
      {open.length === 0 ? (
        <Empty
          title={w.emptyTitle}
          actions={
            mayEdit ? (
              <button type="button" className="button button-main" onClick={() => setAdding(true)}>
                {w.add}
              </button>
            ) : null
          }
        >
          {mayEdit ? w.empty : w.viewerEmpty}
        </Empty>
      ) : chosen.length === 0 ? (
        <p className="quiet">{w.comparison.none}</p>
      ) : (
        <Compared chosen={chosen} mayAdopt={mayEdit} />
      )}
      {open.length > 0 ? (
        <Section title={w.listTitle} about={open.length > COMPARED_MOST ? w.compareMost(COMPARED_MOST) : undefined}>
          <List
            heads={open}
            compared={new Set(chosen.map(({ id }) => id))}
            onCompare={choose}
            full={chosen.length >= COMPARED_MOST}
          />
        </Section>
      ) : null}
      {over.length > 0 ? (
        <Section title={w.over}>
          <List heads={over} compared={new Set()} onCompare={null} full={false} />
        </Section>
      ) : null}
      {adding ? <NewScenarioDialog heads={open} onClose={() => setAdding(false)} /> : null}
    </Page>
  );
}

/** Tables and strips of the chosen ones; also on the page of one scenario. */
export function Compared({ chosen, mayAdopt }: { readonly chosen: readonly ScenarioHead[]; readonly mayAdopt: boolean }) {
  const ids = chosen.map(({ id }) => id);
  const comparison = useQuery({ ...comparisonQuery(ids), placeholderData: (before: ScenarioComparison | undefined) => before });
  const view = useQuery(planQuery).data;
  const [adopting, setAdopting] = useState<string | null>(null);
  const heads = new Map(chosen.map((head) => [head.id, head]));
  if (comparison.isError) return <Failure error={comparison.error} retry={() => void comparison.refetch()} />;
  if (comparison.data === undefined || view === undefined) return <Loading />;
  const { data } = comparison;
  const machines = new Map(data.machines.map(({ id, name }) => [id, name]));
  const adopted = adopting === null ? undefined : heads.get(adopting);
  return (
    <>
      <ComparisonTable
        comparison={data}
        heads={heads}
        {...(mayAdopt
          ? {
              action: (id: string) =>
                heads.get(id)?.state === "open" ? (
                  <button
                    type="button"
                    className="button"
                    aria-label={w.comparison.adoptOne(heads.get(id)?.name ?? "")}
                    disabled={data.columns.find((column) => column.id === id)?.fault !== null}
                    onClick={() => setAdopting(id)}
                  >
                    {w.comparison.adopt}
                  </button>
                ) : null,
            }
          : {})}
      />
      <div className="section">
        {data.columns.map((column) =>
          column.id === null || column.fault !== null ? null : (
            <MovedStrip
              key={column.id}
              name={heads.get(column.id)?.name ?? column.name}
              column={column}
              view={view}
              machines={machines}
            />
          ),
        )}
        {data.columns.some(({ id, movedCount }) => id !== null && movedCount > 0) ? (
          <p className="quiet">{w.strip.about}</p>
        ) : null}
      </div>
      <LatenessByOrder comparison={data} heads={heads} />
      <LoadByMachine comparison={data} heads={heads} />
      {adopted === undefined ? null : (
        <AdoptDialog
          head={adopted}
          column={data.columns.find(({ id }) => id === adopted.id)}
          draftRevision={data.draftRevision}
          onClose={() => setAdopting(null)}
        />
      )}
    </>
  );
}

type ListProps = {
  readonly heads: readonly ScenarioHead[];
  readonly compared: ReadonlySet<string>;
  readonly onCompare: ((id: string, on: boolean) => void) | null;
  readonly full: boolean;
};

function List({ heads, compared, onCompare, full }: ListProps) {
  const time = useSiteTime();
  return (
    <div className="table-frame">
      <table className="table">
        <thead>
          <tr>
            {onCompare === null ? null : <th scope="col">{w.columns.compare}</th>}
            <th scope="col">{w.columns.name}</th>
            <th scope="col">{w.columns.changes}</th>
            <th scope="col">{w.columns.plan}</th>
            <th scope="col">{w.columns.by}</th>
            <th scope="col">{w.columns.when}</th>
          </tr>
        </thead>
        <tbody>
          {heads.map((head) => (
            <tr key={head.id}>
              {onCompare === null ? null : (
                <td>
                  <input
                    type="checkbox"
                    aria-label={w.compareOne(head.name)}
                    checked={compared.has(head.id)}
                    disabled={full && !compared.has(head.id)}
                    onChange={(e) => onCompare(head.id, e.target.checked)}
                  />
                </td>
              )}
              <td>
                <Link to="/scenarios/$id" params={{ id: head.id }}>
                  {head.name}
                </Link>
              </td>
              <td>{w.changes(head.changes)}</td>
              <td>{head.state === "open" ? w.planned[head.planned] : w.states[head.state]}</td>
              <td>{head.changedBy}</td>
              <td className="nowrap">{instantText(head.changedAt, time.zone)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
