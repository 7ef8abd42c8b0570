/** Orders from a spreadsheet: pasted, judged row by row, added together. */
import { useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate } from "@tanstack/react-router";
import { useId, useMemo, useState } from "react";
import { errorOf } from "../../client/api-problem.ts";
import { command } from "../../client/request.ts";
import { useTakenNumbers } from "../../client/requests.ts";
import { plantQuery, REQUESTERS, useMay, useSiteTime } from "../../client/shop.ts";
import { Page, Section } from "../../parts/page.tsx";
import { errorText, NoRights, Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { numberText } from "../../present/amounts.ts";
import { dateFromToday } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { isBlocking, pastedOrders } from "./pasted-orders.ts";

const w = words.pasted;
const c = words.orders.columns;

export function PastePage() {
  const mayAdd = useMay(REQUESTERS);
  return (
    <Page title={w.title} about={w.about} back={<Link to="/orders">{words.shell.back(words.orders.title)}</Link>}>
      {mayAdd ? <Paste /> : <NoRights roles={REQUESTERS} />}
    </Page>
  );
}

function Paste() {
  const id = useId();
  const client = useQueryClient();
  const navigate = useNavigate();
  const time = useSiteTime();
  const taken = useTakenNumbers();
  const templates = useSuspenseQuery(plantQuery("routes")).data;
  const machines = useSuspenseQuery(plantQuery("machines")).data;
  const skill = useSuspenseQuery(plantQuery("crews")).data[0]?.skills[0];
  const [text, setText] = useState("");
  const [done, setDone] = useState<number | null>(null);
  const [stopped, setStopped] = useState<{ readonly row: number; readonly done: number; readonly error: Error } | null>(null);
  const today = dateFromToday(time, 0);
  const pasted = useMemo(
    () => pastedOrders(text, { templates, machines, skill }, taken, today),
    [text, templates, machines, skill, taken, today],
  );
  const none = templates.length === 0;
  const blocked = pasted.faults.some(isBlocking);

  const add = async (): Promise<void> => {
    setStopped(null);
    let count = 0;
    for (const { row, order } of pasted.orders) {
      setDone(count);
      try {
        await command("/orders", { method: "POST", body: order });
        count += 1;
      } catch (error) {
        setStopped({ row, done: count, error: errorOf(error) });
        break;
      }
    }
    setDone(null);
    await client.invalidateQueries();
    if (count === pasted.orders.length) {
      toast(w.added(count));
      await navigate({ to: "/orders" });
    }
  };

  return (
    <>
      <div className="field">
        <label htmlFor={id}>{w.paste}</label>
        <textarea
          id={id}
          rows={8}
          spellCheck={false}
          placeholder={none ? w.exampleMachine(machines[0]?.name || (machines[0]?.id ?? "")) : w.example}
          aria-describedby={`${id}-hint`}
          value={text}
          onChange={(e) => setText(e.target.value)}
        />
        <span className="field-hint" id={`${id}-hint`}>
          {w.pasteHint} {none ? null : w.routesThere(templates.map(({ id }) => id).join(", "))}
        </span>
      </div>
      {none ? (
        <Notice>
          <div className="row">
            <span>{w.noTemplatesYet}</span>
            <Link className="button button-small" to="/add/$kind" params={{ kind: "routes" }}>
              {words.setup.add(words.setup.kinds.routes.one)}
            </Link>
          </div>
        </Notice>
      ) : null}
      {stopped ? (
        <Notice kind="bad" title={w.stopped(stopped.row, stopped.done)}>
          {errorText(stopped.error).text || errorText(stopped.error).title}
        </Notice>
      ) : null}
      {pasted.faults.length > 0 ? (
        <Section
          title={blocked ? <span className="bad">{w.faults(pasted.faults.filter(isBlocking).length)}</span> : words.forms.notes}
        >
          <div className="table-frame">
            <table className="table">
              <thead>
                <tr>
                  <th scope="col">{w.row}</th>
                  <th scope="col">{w.column}</th>
                  <th scope="col">{words.exchange.columns.fault}</th>
                </tr>
              </thead>
              <tbody>
                {pasted.faults.map((fault) => (
                  <tr key={`${fault.row}${fault.column}${fault.message}`}>
                    <td>{fault.row}</td>
                    <td>{fault.column}</td>
                    <td>{fault.message}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </Section>
      ) : null}
      {pasted.orders.length > 0 ? (
        <Section title={words.orders.title}>
          <div className="table-frame">
            <table className="table">
              <thead>
                <tr>
                  {[w.row, c.id, c.name, c.kind, c.quantity, c.release, c.due, c.operations].map((label) => (
                    <th key={label} scope="col">
                      {label}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {pasted.orders.map(({ row, order }) => (
                  <tr key={row}>
                    <td className="quiet">{row}</td>
                    <td className="strong">{order.id}</td>
                    <td>{order.name}</td>
                    <td>{words.orders.kinds[order.kind]}</td>
                    <td>{numberText(order.quantity)}</td>
                    <td>{String(order.release).replace("T", " ")}</td>
                    <td>{order.due === null ? words.forms.none : String(order.due).replace("T", " ")}</td>
                    <td>{order.operations.map((operation) => operation.name ?? operation.id).join(", ")}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </Section>
      ) : null}
      <div className="save-bar">
        <button
          type="button"
          className="button button-main"
          disabled={blocked || pasted.orders.length === 0 || done !== null}
          onClick={() => void add()}
        >
          {done === null ? w.add(pasted.orders.length) : w.adding(done + 1, pasted.orders.length)}
        </button>
      </div>
    </>
  );
}
