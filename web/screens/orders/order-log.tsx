/** What was done to one order and its operations, newest first. */
import { queryOptions, useQuery } from "@tanstack/react-query";
import { type OrderLog as Log, orderLogSchema } from "../../../src/contract/api/order-log.ts";
import { request, segment } from "../../client/request.ts";
import { keys, useSiteTime } from "../../client/shop.ts";
import { Section } from "../../parts/page.tsx";
import { Failure, Loading } from "../../parts/states.tsx";
import { instantText } from "../../present/instant.ts";
import { words } from "../../words/words.ts";

const w = words.howSure.log;

const logQuery = (order: string) =>
  queryOptions({
    queryKey: [...keys.order(order), "log"],
    queryFn: async ({ signal }): Promise<Log> =>
      (await request(orderLogSchema, `/orders/${segment(order)}/log`, { signal })).value,
  });

export function OrderLog({ order }: { readonly order: string }) {
  const time = useSiteTime();
  const log = useQuery(logQuery(order));
  const items = log.data?.items ?? [];
  const total = log.data?.total ?? 0;
  return (
    <Section title={w.title} about={total > items.length ? w.shown(items.length, total) : undefined}>
      {log.isPending ? <Loading /> : null}
      {log.isError && !log.data ? <Failure error={log.error} retry={() => void log.refetch()} /> : null}
      {log.data && items.length === 0 ? <p className="quiet">{w.none}</p> : null}
      {items.length > 0 ? (
        <div className="table-frame">
          <table className="table change-log">
            <thead>
              <tr>
                <th scope="col">{w.when}</th>
                <th scope="col">{w.who}</th>
                <th scope="col">{w.what}</th>
              </tr>
            </thead>
            <tbody>
              {items.map(({ id, at, actor, action, operation, note, scrap, fields }) => (
                <tr key={id}>
                  <td>{instantText(at, time.zone)}</td>
                  <td>{actor}</td>
                  <td>
                    {action} {operation ?? w.order}
                    {scrap > 0 ? `, ${w.scrap(scrap)}` : null}
                    {note === null ? null : `: ${note}`}
                    {fields.length > 0 ? <span className="quiet"> {w.fields(fields.join(", "))}</span> : null}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      ) : null}
    </Section>
  );
}
