/** The comparison: measures as rows, plans as columns, the best of each row bold with a mark, the difference to the draft as signed text. */
import { Link } from "@tanstack/react-router";
import { type ReactNode, useState } from "react";
import type { ScenarioComparison, ScenarioHead } from "../../../src/contract/api/scenario.ts";
import { useSiteTime } from "../../client/shop.ts";
import { MeasureHead } from "../../parts/head-cell.tsx";
import { Section } from "../../parts/page.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { percentText, shareText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { type Cell, rowGroups } from "./measure-rows.ts";

const w = words.scenarios.comparison;
const ORDERS_FIRST = 10;

type TableProps = {
  readonly comparison: ScenarioComparison;
  readonly heads: ReadonlyMap<string, ScenarioHead>;
  /** What stands in the foot of a scenario's column. */
  readonly action?: (id: string) => ReactNode;
};

export function ComparisonTable({ comparison, heads, action }: TableProps) {
  const time = useSiteTime();
  const groups = rowGroups(comparison, time);
  const { columns } = comparison;
  return (
    <Section
      title={w.title}
      about={w.about}
      actions={
        <>
          <HowComputed label={w.how} text={w.howText} />
          {comparison.currency === null ? null : <HowComputed label={w.groups.money} text={w.moneyHow} />}
        </>
      }
    >
      <div className="table-frame">
        <table className="table compare">
          <ColumnHeads comparison={comparison} heads={heads} first={w.measure} />
          {groups.map((group) => (
            <tbody key={group.key}>
              <tr>
                <th scope="colgroup" colSpan={columns.length + 1} className="compare-group">
                  {group.label}
                </th>
              </tr>
              {group.rows.map((row) => (
                <tr key={row.key}>
                  <MeasureHead label={row.label} how={row.how} strong={row.strong} />
                  {columns.map((column, i) => (
                    <td key={column.id ?? "draft"} className="number">
                      <Value cell={row.cells[i] ?? null} />
                    </td>
                  ))}
                </tr>
              ))}
            </tbody>
          ))}
          {action === undefined ? null : (
            <tfoot>
              <tr>
                <td />
                {columns.map(({ id }) => (
                  <td key={id ?? "draft"} className="number">
                    {id === null ? null : action(id)}
                  </td>
                ))}
              </tr>
            </tfoot>
          )}
        </table>
      </div>
      {columns.map(({ id, name, fault }) =>
        fault === null ? null : (
          <p key={id ?? "draft"} className="bad">
            {`${heads.get(id ?? "")?.name ?? name}: ${fault}`}
          </p>
        ),
      )}
    </Section>
  );
}

function ColumnHeads({ comparison, heads, first }: Pick<TableProps, "comparison" | "heads"> & { readonly first: string }) {
  return (
    <thead>
      <tr>
        <th scope="col">{first}</th>
        {comparison.columns.map(({ id, name, fault }) => {
          const head = id === null ? undefined : heads.get(id);
          return (
            <th key={id ?? "draft"} scope="col" className="number">
              {id === null ? (
                <>
                  <b>{words.scenarios.draftNumber(comparison.draftRevision)}</b>
                  <small>&nbsp;</small>
                </>
              ) : (
                <>
                  <Link to="/scenarios/$id" params={{ id }}>
                    {head?.name ?? name}
                  </Link>
                  <small>{fault !== null ? w.broken : head ? words.scenarios.plannedShort[head.planned] : "\u00a0"}</small>
                </>
              )}
            </th>
          );
        })}
      </tr>
    </thead>
  );
}

function Value({ cell }: { readonly cell: Cell | null }) {
  if (cell === null) return <span className="quiet">–</span>;
  return (
    <>
      <span className={cell.best ? "compare-best" : undefined}>
        {cell.best ? (
          <>
            <span aria-hidden="true" className="compare-mark">
              ◆
            </span>
            <span className="out-of-sight">{w.best}: </span>
          </>
        ) : null}
        {cell.text}
      </span>
      {cell.difference === null && cell.note === "" ? null : (
        <small>{[cell.difference === "" ? w.same : cell.difference, cell.note].filter(Boolean).join("; ")}</small>
      )}
    </>
  );
}

export function LatenessByOrder({ comparison, heads }: Pick<TableProps, "comparison" | "heads">) {
  const time = useSiteTime();
  const [all, setAll] = useState(false);
  const { orders, ordersCount } = comparison;
  if (orders.length === 0) return null;
  const shown = all ? orders : orders.slice(0, ORDERS_FIRST);
  return (
    <Section title={w.ordersTitle} about={w.ordersAbout}>
      <div className="table-frame">
        <table className="table compare">
          <ColumnHeads comparison={comparison} heads={heads} first={w.order} />
          <tbody>
            {shown.map(({ order, name, sides }) => {
              const least = Math.min(...sides.filter(({ end }) => end !== null).map(({ late }) => late));
              const differ = sides.some(({ late, end }) => end !== null && late !== least);
              return (
                <tr key={order}>
                  <th scope="row">
                    <Link to="/orders/$id" params={{ id: order }}>
                      {name === order ? order : `${order} ${name}`}
                    </Link>
                  </th>
                  {sides.map(({ due, end, late }, i) => (
                    <td key={comparison.columns[i]?.id ?? "draft"} className="number">
                      <Value
                        cell={
                          end === null
                            ? { text: due === null ? w.notThere : w.notPlanned, note: "", difference: null, best: false }
                            : {
                                text: late > 0 ? durationText(late) : due === null ? w.noDue : w.inTime,
                                note: time.dayTime(end),
                                difference: null,
                                best: differ && late === least,
                              }
                        }
                      />
                    </td>
                  ))}
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      {orders.length > shown.length ? (
        <button type="button" className="button button-small" onClick={() => setAll(true)}>
          {w.showAll(orders.length)}
        </button>
      ) : ordersCount > orders.length ? (
        <p className="quiet">{w.moreOrders(ordersCount - orders.length)}</p>
      ) : null}
    </Section>
  );
}

/** Only machines where the plans differ by a per cent or more. */
export function LoadByMachine({ comparison, heads }: Pick<TableProps, "comparison" | "heads">) {
  const time = useSiteTime();
  const names = new Map(comparison.machines.map(({ id, name }) => [id, name]));
  const shares = [...names.keys()].map((machine) => ({
    machine,
    cells: comparison.columns.map(({ load }) => load.find((each) => each.machine === machine) ?? null),
  }));
  const share = (cell: { readonly occupied: number; readonly open: number } | null): number | null =>
    cell === null || cell.open === 0 ? null : cell.occupied / cell.open;
  const differing = shares.filter(({ cells }) => new Set(cells.map((cell) => Math.round((share(cell) ?? -1) * 100))).size > 1);
  return (
    <Section title={w.loadTitle} about={differing.length === 0 ? w.loadSame : w.loadAbout(time.day(comparison.until))}>
      {differing.length === 0 ? null : (
        <div className="table-frame">
          <table className="table compare">
            <ColumnHeads comparison={comparison} heads={heads} first={w.machine} />
            <tbody>
              {differing.map(({ machine, cells }) => (
                <tr key={machine}>
                  <th scope="row">
                    <Link to="/stations/$id" params={{ id: machine }}>
                      {names.get(machine) ?? machine}
                    </Link>
                  </th>
                  {cells.map((cell, i) => {
                    const value = share(cell);
                    const base = share(cells[0] ?? null);
                    const points = value === null || base === null ? 0 : Math.round(value * 100) - Math.round(base * 100);
                    return (
                      <td key={comparison.columns[i]?.id ?? "draft"} className="number">
                        <Bar share={value ?? 0} />
                        {value === null ? "–" : shareText(value)}
                        {i === 0 ? null : (
                          <small>{points === 0 ? w.same : `${points > 0 ? "+" : ""}${percentText(points)}`}</small>
                        )}
                      </td>
                    );
                  })}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Section>
  );
}

const BAR = 64;

function Bar({ share }: { readonly share: number }) {
  return (
    <svg className="compare-bar" width={BAR} height="8" aria-hidden="true">
      <rect width={BAR} height="8" fill="var(--night)" />
      <rect width={Math.min(1, share) * BAR} height="8" fill={share >= 0.9 ? "var(--ink)" : "var(--held)"} />
    </svg>
  );
}
