/** The chance of one order being on time and its dates by confidence, from the latest simulation of the plan. */
import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { howSureQuery } from "../../client/how-sure.ts";
import { useSiteTime } from "../../client/shop.ts";
import { Chance, degreeOf } from "../../parts/chance.tsx";
import { Section } from "../../parts/page.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { chanceText } from "../../present/amounts.ts";
import { words } from "../../words/words.ts";
import { overRestText } from "../how-sure/over-rest-text.ts";
import { WorkingOut } from "../how-sure/working-out.tsx";

const w = words.howSure;

export function OrderChances({ order }: { readonly order: string }) {
  const time = useSiteTime();
  const latest = useQuery(howSureQuery).data ?? null;
  const known = latest?.answer.orders.find((each) => each.order === order);
  const date = (minute: number | null): string => (minute === null ? w.beyond : time.dayTime(minute));
  const { onTime = null } = known ?? {};
  return (
    <Section
      title={w.panelTitle}
      actions={
        <>
          <HowComputed label={words.how.ask} text={w.how} />
          <Link className="button button-small" to="/how-sure">
            {w.open}
          </Link>
        </>
      }
    >
      {known ? (
        <>
          <p>
            {onTime === null ? (
              w.noPromise
            ) : (
              <>
                <Chance share={onTime} stale={latest?.stale ?? false} />{" "}
                {w.orderLine(chanceText(onTime), w.degree[degreeOf(onTime)])}
              </>
            )}
          </p>
          {known.overRest === null ? null : <p>{overRestText(known.overRest, time)}</p>}
          <p>{w.orderDates(date(known.dates.p50), date(known.dates.p80), date(known.dates.p95))}</p>
          <p className="quiet">
            {latest?.stale ? `${w.stale} ` : ""}
            {latest?.answer.measured ? w.measured : w.commonPractice}
          </p>
        </>
      ) : (
        <p className="quiet">{w.notFor}</p>
      )}
      {known && !latest?.stale ? null : <WorkingOut known={known !== undefined} small />}
    </Section>
  );
}
