/** The order book: what was promised, when it ends, what is late. Filters live in the address, so a view can be shared. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useEffect, useRef, useState } from "react";
import type { OrderSummary } from "../../../src/contract/api/order.ts";
import { ORDER_STATES } from "../../../src/contract/api/order.ts";
import { localText } from "../../../src/core/calendar/wall-clock.ts";
import { useChances } from "../../client/how-sure.ts";
import { ordersQuery, REQUESTERS, useMay, useSiteTime } from "../../client/shop.ts";
import { Chance } from "../../parts/chance.tsx";
import { download } from "../../parts/download.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { Page } from "../../parts/page.tsx";
import { Empty } from "../../parts/states.tsx";
import { HowMark } from "../../parts/term.tsx";
import { numberText, shareText } from "../../present/amounts.ts";
import { differenceText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { filterOrders, type OrderFilter, type OrderSort, pageOfOrders } from "./order-filter.ts";
import { RushMark, StateTag } from "./order-marks.tsx";
import { csvOf } from "./pasted-orders.ts";

const w = words.orders;
const { orders: how } = words.how;
const KINDS = ["production", "prototype", "campaign", "maintenance"] as const;
const START: OrderFilter = { search: "", state: "open", kind: "", sort: "due", descending: false };
const KEPT = "orders-filter";

/** The filter of this visit survives a look into an order and back. */
function keptFilter(): OrderFilter {
  try {
    return { ...START, ...(JSON.parse(sessionStorage.getItem(KEPT) ?? "{}") as Partial<OrderFilter>) };
  } catch {
    return START;
  }
}

const COLUMNS: readonly { readonly sort: OrderSort; readonly label: string; readonly number?: true; readonly how?: string }[] = [
  { sort: "id", label: w.columns.id },
  { sort: "name", label: w.columns.name },
  { sort: "kind", label: w.columns.kind },
  { sort: "requester", label: w.columns.requester },
  { sort: "quantity", label: w.columns.quantity, number: true },
  { sort: "release", label: w.columns.release, number: true },
  { sort: "due", label: w.columns.due, number: true },
  { sort: "completion", label: w.columns.ends, number: true, how: how.ends },
  { sort: "late", label: w.columns.late, number: true, how: how.lateBy },
  { sort: "state", label: w.columns.state },
];

export function OrderList() {
  const all = useSuspenseQuery(ordersQuery).data;
  const time = useSiteTime();
  const chances = useChances();
  const mayEdit = useMay(REQUESTERS);
  const [filter, setFilter] = useState(keptFilter);
  const [wantedPage, setPage] = useState(1);
  const search = useRef<HTMLInputElement>(null);

  useEffect(() => {
    try {
      sessionStorage.setItem(KEPT, JSON.stringify(filter));
    } catch {
      // Storage is closed: the filter lasts as long as this page.
    }
  }, [filter]);
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.key !== "/" || (event.target as HTMLElement).closest("input, select, textarea, dialog")) return;
      event.preventDefault();
      search.current?.focus();
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  }, []);

  const change = (part: Partial<OrderFilter>): void => {
    setFilter({ ...filter, ...part });
    setPage(1);
  };
  const fitting = filterOrders(all, filter);
  const { shown, page, pages } = pageOfOrders(fitting, wantedPage);
  const late = all.filter((order) => order.late > 0).length;
  const unplanned = all.filter(({ state }) => state === "unplanned").length;
  const running = all.filter((order) => order.running).length;
  const promised = all.filter(({ due, completion }) => due !== null && completion !== null);
  const kept = promised.length - promised.filter((order) => order.late > 0).length;
  const newOrder = mayEdit ? (
    <>
      <Link className="button" to="/add/orders">
        {words.pasted.open}
      </Link>
      <Link className="button" to="/fit" title={words.fit.linkTitle}>
        {words.fit.link}
      </Link>
      <Link className="button button-main" to="/add/order">
        {w.newOrder}
      </Link>
    </>
  ) : null;

  const takeList = (): void => {
    const day = (minute: number | null): string => (minute === null ? "" : localText(time.clock, minute).replace("T", " "));
    const rows = fitting.map((order) => [
      order.id,
      order.name,
      w.kinds[order.kind],
      order.requester ?? "",
      String(order.quantity),
      day(order.release),
      day(order.due),
      day(order.completion),
      String(order.late),
      w.states[order.state],
    ]);
    download(
      "orders.csv",
      "text/csv",
      csvOf([[...COLUMNS.slice(0, 8).map(({ label }) => label), w.lateMinutes, w.columns.state], ...rows]),
    );
  };

  return (
    <Page
      title={w.title}
      about={w.about}
      actions={
        <>
          {all.length > 0 ? (
            <button type="button" className="button" onClick={takeList}>
              {words.pasted.download}
            </button>
          ) : null}
          {newOrder}
        </>
      }
      figures={[
        { label: w.inBook, value: numberText(all.length), how: how.inBook },
        { label: w.runningCount, value: numberText(running), how: how.running },
        {
          label: w.unplannedCount,
          value: unplanned > 0 ? <span className="bad">{numberText(unplanned)}</span> : 0,
          how: how.unplanned,
        },
        ...(promised.length === 0
          ? []
          : [
              {
                label: w.onTimeShare,
                value: `${shareText(kept / promised.length)} ${w.ofPromised(kept, promised.length)}`,
                how: how.onTimeShare,
              },
            ]),
        { label: w.lateCount, value: late > 0 ? <span className="late">{numberText(late)}</span> : 0, how: how.late },
      ]}
    >
      {all.length === 0 ? (
        <Empty
          title={w.noneTitle}
          actions={
            <>
              {newOrder}
              <Link className="button" to="/setup/file">
                {words.exchange.title}
              </Link>
            </>
          }
        >
          {w.none}
        </Empty>
      ) : (
        <>
          <search className="filters">
            <div className="field field-search">
              <label htmlFor="find">{w.search}</label>
              <input
                ref={search}
                id="find"
                type="search"
                placeholder={w.searchHint}
                aria-keyshortcuts="/"
                value={filter.search}
                onChange={(e) => change({ search: e.target.value })}
              />
            </div>
            <div className="field">
              <label htmlFor="state">{w.filterState}</label>
              <select id="state" value={filter.state} onChange={(e) => change({ state: e.target.value as OrderFilter["state"] })}>
                <option value="open">{w.openState}</option>
                <option value="">{w.any}</option>
                {ORDER_STATES.map((state) => (
                  <option key={state} value={state}>
                    {w.states[state]}
                  </option>
                ))}
              </select>
            </div>
            <div className="field">
              <label htmlFor="kind">{w.filterKind}</label>
              <select id="kind" value={filter.kind} onChange={(e) => change({ kind: e.target.value as OrderFilter["kind"] })}>
                <option value="">{w.any}</option>
                {KINDS.map((kind) => (
                  <option key={kind} value={kind}>
                    {w.kinds[kind]}
                  </option>
                ))}
              </select>
            </div>
            <p className="quiet" role="status">
              {w.count(fitting.length, all.length)}
            </p>
          </search>
          {shown.length === 0 ? (
            <Empty
              title={w.nothingTitle}
              actions={
                <button type="button" className="button" onClick={() => change({ ...START, state: "" })}>
                  {w.showAll}
                </button>
              }
            >
              {w.nothing}
            </Empty>
          ) : (
            <div className="table-frame">
              <table className="table table-links">
                <thead>
                  <tr>
                    {COLUMNS.map(({ sort, label, number, how: text }) => {
                      const on = filter.sort === sort;
                      return (
                        <th
                          key={sort}
                          scope="col"
                          className={number ? "number" : undefined}
                          aria-sort={on ? (filter.descending ? "descending" : "ascending") : undefined}
                        >
                          <button
                            type="button"
                            className="sort"
                            data-on={on || undefined}
                            title={w.sortBy(label)}
                            onClick={() => change({ sort, descending: on ? !filter.descending : sort === "late" })}
                          >
                            {label}
                            <span aria-hidden="true">{on ? (filter.descending ? " ↓" : " ↑") : ""}</span>
                          </button>
                          {text === undefined ? null : <HowMark label={label} text={text} />}
                        </th>
                      );
                    })}
                    <HeadCell label={words.howSure.chance} how={how.chance} />
                  </tr>
                </thead>
                <tbody>
                  {shown.map((order) => (
                    <OrderRow
                      key={order.id}
                      order={order}
                      chance={chances.byOrder.get(order.id)?.onTime ?? null}
                      stale={chances.stale}
                    />
                  ))}
                </tbody>
              </table>
            </div>
          )}
          {pages > 1 ? (
            <nav className="pager" aria-label={w.page(page, pages)}>
              <button type="button" className="button" disabled={page === 1} onClick={() => setPage(page - 1)}>
                {w.previous}
              </button>
              <span>{w.page(page, pages)}</span>
              <button type="button" className="button" disabled={page === pages} onClick={() => setPage(page + 1)}>
                {w.next}
              </button>
            </nav>
          ) : null}
        </>
      )}
    </Page>
  );
}

type OrderRowProps = {
  readonly order: OrderSummary;
  /** Of being on time; null: nobody has worked it out, or nothing was promised. */
  readonly chance: number | null;
  readonly stale: boolean;
};

function OrderRow({ order, chance, stale }: OrderRowProps) {
  const time = useSiteTime();
  return (
    <tr>
      <td className="nowrap">
        <Link to="/orders/$id" params={{ id: order.id }}>
          {order.id}
        </Link>
        {order.kind === "prototype" && order.state === "unplanned" ? <RushMark /> : null}
      </td>
      <td>{order.name}</td>
      <td className="quiet nowrap">{w.kinds[order.kind]}</td>
      <td className="quiet">{order.requester ?? ""}</td>
      <td className="number">{numberText(order.quantity)}</td>
      <td className="number quiet">{order.release <= time.now ? "" : time.dayTime(order.release)}</td>
      <td className="number">
        {order.due === null ? <span className="quiet">{words.forms.none}</span> : time.dueText(order.due)}
      </td>
      <td className="number">{order.completion === null ? "" : time.dayTime(order.completion)}</td>
      <td className="number">{order.late > 0 ? <span className="late">{differenceText(order.late)}</span> : null}</td>
      <td>
        <StateTag state={order.state} />
      </td>
      <td>{chance === null || order.state === "done" ? null : <Chance share={chance} stale={stale} compact />}</td>
    </tr>
  );
}
