/** The slots that are held, the next to end first, with the two ways to end them; and how the latest others ended. */
import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import type { HoldView } from "../../../src/contract/api/hold.ts";
import { holdsQuery, useEndHold } from "../../client/holds.ts";
import { PLANNERS, useMay } from "../../client/shop.ts";
import { Section } from "../../parts/page.tsx";
import { Failure, Loading } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.fit;
const ENDED_SHOWN = 8;

export function HeldSlots({ time }: { readonly time: SiteTime }) {
  const holds = useQuery(holdsQuery);
  const end = useEndHold();
  const mayEnd = useMay(PLANNERS);
  const act = (hold: HoldView, way: "confirm" | "release"): void =>
    end.mutate(
      { id: hold.id, way },
      { onSuccess: () => toast(way === "confirm" ? w.confirmed(hold.order) : w.released(hold.order)) },
    );
  const c = w.holdColumns;
  const held = holds.data?.filter(({ state }) => state === "held") ?? [];
  const ended = holds.data?.filter(({ state }) => state !== "held").slice(0, ENDED_SHOWN) ?? [];
  return (
    <Section title={w.holds} about={w.holdsAbout}>
      {end.isError ? <Failure error={end.error} /> : null}
      {holds.isPending ? <Loading /> : null}
      {holds.isError && !holds.data ? <Failure error={holds.error} retry={() => void holds.refetch()} /> : null}
      {holds.data && held.length === 0 ? <p className="quiet">{w.noHolds}</p> : null}
      {held.length + ended.length > 0 ? (
        <div className="table-frame">
          <table className="table fit-holds">
            <thead>
              <tr>
                {(["order", "state", "until", "by", "note"] as const).map((key) => (
                  <th key={key} scope="col">
                    {c[key]}
                  </th>
                ))}
                <td />
              </tr>
            </thead>
            <tbody>
              {[...held, ...ended].map((hold) => (
                <tr key={hold.id}>
                  <td>
                    {hold.state === "held" || hold.state === "confirmed" ? (
                      <Link to="/orders/$id" params={{ id: hold.order }}>
                        {hold.order}
                      </Link>
                    ) : (
                      hold.order
                    )}
                  </td>
                  <td>
                    <span className={hold.state === "held" ? "tag tag-held" : "quiet"}>{w.holdStates[hold.state]}</span>
                  </td>
                  <td>{time.dayTime(hold.until)}</td>
                  <td>{hold.heldBy}</td>
                  <td>{hold.note}</td>
                  <td className="fit-hold-acts">
                    {hold.state === "held" && mayEnd ? (
                      <>
                        <button
                          type="button"
                          className="button button-small"
                          disabled={end.isPending}
                          aria-label={w.confirmOrder(hold.order)}
                          onClick={() => act(hold, "confirm")}
                        >
                          {w.confirm}
                        </button>
                        <button
                          type="button"
                          className="button button-small"
                          disabled={end.isPending}
                          aria-label={w.releaseOrder(hold.order)}
                          onClick={() => act(hold, "release")}
                        >
                          {w.release}
                        </button>
                      </>
                    ) : null}
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
