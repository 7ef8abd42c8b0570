/** The whole shop as a file: out, and in with every fault named by its place. */
import { useQuery, useQueryClient } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useId, useState } from "react";
import type { FaultAtPointer } from "../../../src/contract/api/problem-details.ts";
import type { ImportAnswer } from "../../../src/contract/api/shop-file.ts";
import { writePlanFile } from "../../../src/contract/plan-file.ts";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import { ApiProblem } from "../../client/api-problem.ts";
import { exportShop, importShop } from "../../client/exchange.ts";
import { PLANNERS, planQuery, useMay, useSession } from "../../client/shop.ts";
import { download } from "../../parts/download.ts";
import { Page, Section } from "../../parts/page.tsx";
import { errorText, Failure, NoRights, Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { placedFault } from "./fault-place.ts";

const w = words.exchange;
const FAULTS_SHOWN = 200;

const keep = (name: string, content: unknown): void =>
  download(name, "application/json", `${JSON.stringify(content, null, 1)}\n`);

export function ExchangePage() {
  return (
    <Page narrow title={w.title} about={w.about} back={<Link to="/setup">{words.shell.back(words.setup.title)}</Link>}>
      <TakeOut />
      <BringIn />
    </Page>
  );
}

function TakeOut() {
  const session = useSession();
  const view = useQuery(planQuery).data;
  const [trouble, setTrouble] = useState<unknown>(null);
  const [busy, setBusy] = useState(false);
  const base = session.site.name.toLowerCase().replace(/[^a-z0-9]+/g, "-") || "shop";
  const takeShop = (): void => {
    setBusy(true);
    setTrouble(null);
    exportShop()
      .then((file) => keep(`${base}.problem.json`, file))
      .catch(setTrouble)
      .finally(() => setBusy(false));
  };
  return (
    <Section title={w.exportTitle}>
      <p style={{ maxWidth: "78ch", marginBottom: 10 }}>{w.exportText}</p>
      {trouble === null ? null : <Failure error={trouble} />}
      <div className="row">
        <button type="button" className="button" disabled={busy} onClick={takeShop}>
          {w.exportAct}
        </button>
        {view ? (
          <button
            type="button"
            className="button"
            onClick={() => keep(`${base}.plan.json`, writePlanFile(view.problem, view.draft.plan))}
          >
            {w.exportPlan}
          </button>
        ) : null}
      </div>
    </Section>
  );
}

type Chosen = { readonly name: string; readonly json: unknown };

function BringIn() {
  const session = useSession();
  const client = useQueryClient();
  const mayEdit = useMay(PLANNERS);
  const id = useId();
  const [chosen, setChosen] = useState<Chosen | null>(null);
  const [replace, setReplace] = useState(false);
  const [live, setLive] = useState(true);
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [faults, setFaults] = useState<readonly FaultAtPointer[]>([]);
  const [done, setDone] = useState<ImportAnswer | null>(null);

  const choose = async (file: File | undefined): Promise<void> => {
    setChosen(null);
    setFaults([]);
    setTrouble(null);
    setDone(null);
    if (!file) return;
    try {
      const json: unknown = JSON.parse(await file.text());
      setChosen({ name: file.name, json });
      // Judged here first: faults show at once, and nothing travels.
      const read = readProblemFile(json);
      if (!read.ok) setFaults(read.error.map(({ at, message }) => ({ pointer: at, message })));
    } catch (error) {
      setTrouble(w.notJson(error instanceof Error ? error.message : String(error)));
    }
  };
  const send = (): void => {
    if (!chosen) return;
    setBusy(true);
    setTrouble(null);
    importShop(chosen.json, { replace, live })
      .then(async (answer) => {
        setDone(answer);
        setChosen(null);
        await client.invalidateQueries();
      })
      .catch((error: unknown) => {
        if (error instanceof ApiProblem && error.faults.length > 0) setFaults(error.faults);
        else setTrouble(errorText(error).text || errorText(error).title);
      })
      .finally(() => setBusy(false));
  };

  if (!mayEdit) {
    return (
      <Section title={w.importTitle}>
        <NoRights roles={PLANNERS} />
      </Section>
    );
  }
  return (
    <Section title={w.importTitle}>
      <div className="stack">
        <p style={{ maxWidth: "78ch" }}>{w.importText}</p>
        <div className="field" style={{ maxWidth: 420 }}>
          <label htmlFor={id}>{w.choose}</label>
          <input id={id} type="file" accept="application/json,.json" onChange={(e) => void choose(e.target.files?.[0])} />
        </div>
        {trouble === null ? null : <Notice kind="bad">{trouble}</Notice>}
        {done ? (
          <Notice
            title={w.doneTitle}
            actions={
              <Link className="button button-main" to="/">
                {w.openBoard}
              </Link>
            }
          >
            {w.done(done.machines, done.crews, done.orders, done.operations)}
          </Notice>
        ) : null}
        {chosen && faults.length === 0 ? (
          <>
            {session.empty ? null : (
              <Notice kind="warn">
                {w.replaceWarn}
                <br />
                <label className="check">
                  <input type="checkbox" checked={replace} onChange={(e) => setReplace(e.target.checked)} />
                  {w.replace}
                </label>
              </Notice>
            )}
            <label className="check">
              <input type="checkbox" checked={live} onChange={(e) => setLive(e.target.checked)} />
              {w.liveClock}
            </label>
            <div className="row">
              <button type="button" className="button button-main" disabled={busy || (!session.empty && !replace)} onClick={send}>
                {busy ? `${w.importing} …` : w.importAct(chosen.name)}
              </button>
            </div>
          </>
        ) : null}
        {faults.length > 0 ? <FaultTable faults={faults} file={chosen?.json} /> : null}
      </div>
    </Section>
  );
}

function FaultTable({ faults, file }: { readonly faults: readonly FaultAtPointer[]; readonly file: unknown }) {
  return (
    <div>
      <Notice kind="bad" title={w.faultsTitle(faults.length)} />
      <div className="table-frame">
        <table className="table">
          <thead>
            <tr>
              <th scope="col">{w.columns.entry}</th>
              <th scope="col">{w.columns.field}</th>
              <th scope="col">{w.columns.fault}</th>
            </tr>
          </thead>
          <tbody>
            {faults.slice(0, FAULTS_SHOWN).map((fault) => {
              const placed = placedFault(fault, file);
              return (
                <tr key={`${fault.pointer}${fault.message}`}>
                  <td className="strong">{placed.entry === "" ? placed.place || w.wholeFile : placed.entry}</td>
                  <td>{placed.field}</td>
                  <td>{placed.message}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </div>
  );
}
