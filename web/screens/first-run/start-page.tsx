/** From nothing to a first plan in five steps. Also reachable later: each step says what is there. */
import { useQueries, useQuery, useQueryClient } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { type ReactNode, useEffect, useState } from "react";
import { loadDemo } from "../../client/exchange.ts";
import { leadFirstSteps } from "../../client/first-steps.ts";
import { runQuery, startRun } from "../../client/runs.ts";
import { ordersQuery, PLANNERS, planQuery, plantQuery, useMay, useSession } from "../../client/shop.ts";
import { Page } from "../../parts/page.tsx";
import { errorText, Failure, NoRights, Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { ZoneOffer } from "./zone-offer.tsx";

const w = words.start;
const STEPS = ["calendars", "machines", "crews"] as const;
const FIRST_RUN_SECONDS = 10;

export function StartPage() {
  const session = useSession();
  const mayEdit = useMay(PLANNERS);
  const counts = useQueries({
    queries: STEPS.map((kind) => ({ ...plantQuery(kind), select: (list: readonly unknown[]) => list.length })),
  });
  const orders = useQuery(ordersQuery).data?.length ?? 0;
  if (!mayEdit) {
    return (
      <Page narrow title={w.title}>
        <NoRights roles={PLANNERS} />
      </Page>
    );
  }
  const have = counts.map((query) => query.data ?? 0);
  const numbers = [...have, orders];
  const current = numbers.indexOf(0);
  return (
    <Page narrow title={w.title} about={w.about}>
      {orders === 0 ? <ZoneOffer /> : null}
      <ol className="steps-list">
        {STEPS.map((kind, i) => (
          <Step
            key={kind}
            number={i + 1}
            count={have[i] ?? 0}
            current={current === i}
            title={w.steps[kind].title}
            text={w.steps[kind].text}
          >
            <Link className={current === i ? "button button-main" : "button"} to="/add/$kind" params={{ kind }}>
              {(have[i] ?? 0) > 0 ? w.another : w.steps[kind].act}
            </Link>
          </Step>
        ))}
        <Step number={4} count={orders} current={current === 3} title={w.steps.orders.title} text={w.steps.orders.text}>
          <Link className={current === 3 ? "button button-main" : "button"} to="/add/order">
            {orders > 0 ? w.another : w.steps.orders.act}
          </Link>
          <Link className="button" to="/add/orders">
            {words.pasted.open}
          </Link>
          <Link className="button" to="/setup/file">
            {w.steps.orders.other}
          </Link>
        </Step>
        <PlanStep missing={[...STEPS, "orders" as const].filter((_, i) => numbers[i] === 0).map((kind) => w.steps[kind].title)} />
      </ol>
      {session.empty ? <DemoOffer /> : null}
    </Page>
  );
}

function Step({
  number,
  count,
  current,
  title,
  text,
  children,
}: {
  readonly number: number;
  readonly count: number;
  readonly current: boolean;
  readonly title: string;
  readonly text: string;
  readonly children: ReactNode;
}) {
  return (
    <li className={current ? "step step-current" : "step"} aria-current={current ? "step" : undefined}>
      <span className="step-number" aria-hidden="true">
        {number}
      </span>
      <div>
        <h2>
          <span className="out-of-sight">{w.stepOf(number)}: </span>
          {title} {count > 0 ? <span className="tag">{w.have(count)}</span> : null}
        </h2>
        <p className="quiet">{text}</p>
      </div>
      <div className="row">{children}</div>
    </li>
  );
}

/** `missing`: titles of steps of which nothing is entered yet. */
function PlanStep({ missing }: { readonly missing: readonly string[] }) {
  const ready = missing.length === 0;
  const client = useQueryClient();
  const [run, setRun] = useState<string | null>(null);
  const [trouble, setTrouble] = useState<unknown>(null);
  const state = useQuery({ ...runQuery(run ?? ""), enabled: run !== null }).data;
  const plan = useQuery(planQuery);
  const planned = (plan.data?.draft.plan.operations.length ?? 0) > 0;
  const busy = run !== null && state?.state !== "finished" && state?.state !== "failed" && state?.state !== "cancelled";
  const planNow = (): void => {
    setTrouble(null);
    startRun({ seconds: FIRST_RUN_SECONDS })
      .then(setRun)
      .then(() => client.invalidateQueries({ queryKey: planQuery.queryKey }))
      .catch(setTrouble);
  };
  const done = state?.state === "finished" || (run === null && planned);
  const known = plan.isSuccess;
  useEffect(() => {
    if (known) leadFirstSteps(!done);
  }, [known, done]);
  return (
    <Step
      number={5}
      count={0}
      current={ready}
      title={w.steps.plan.title}
      text={ready ? w.steps.plan.text : w.planNotYet(missing.join(", "))}
    >
      {trouble === null ? null : <Failure error={trouble} />}
      {state?.state === "failed" ? (
        <Notice kind="bad" title={w.planFailed}>
          {state.error}
        </Notice>
      ) : null}
      {done ? (
        <Link className="button button-main" to="/">
          {w.planDone}
        </Link>
      ) : (
        <button type="button" className={ready ? "button button-main" : "button"} disabled={!ready || busy} onClick={planNow}>
          {busy ? `${w.planRunning} …` : w.steps.plan.act}
        </button>
      )}
    </Step>
  );
}

function DemoOffer() {
  const client = useQueryClient();
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<unknown>(null);
  const load = (): void => {
    setBusy(true);
    setTrouble(null);
    loadDemo()
      .then(() => client.invalidateQueries())
      .catch(setTrouble)
      .finally(() => setBusy(false));
  };
  return (
    <section className="section">
      <div className="empty">
        <h2>{w.demoTitle}</h2>
        <p>{w.demo}</p>
        {trouble === null ? null : <p className="bad">{errorText(trouble).text}</p>}
        <button type="button" className="button" disabled={busy} onClick={load}>
          {w.demoAct}
        </button>
      </div>
    </section>
  );
}
