/** Telling a trouble: what happened, and the few facts of it. Checked by the browser's own form, read by the server like a file. */
import { useId, useState } from "react";
import type { ToldTrouble } from "../../../src/contract/api/questions/trouble.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { type About, type Draft, firstDraft, KINDS, type Kind, toldOf } from "./trouble-draft.ts";
import { TroubleFields } from "./trouble-fields.tsx";
import type { Told } from "./use-trouble.ts";

export function TroubleForm({
  id,
  problem,
  time,
  about,
  onTell,
}: {
  /** Of the form, for a button outside it. */
  readonly id: string;
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly about: About;
  readonly onTell: (told: Told) => void;
}) {
  const say = words.trouble;
  const [draft, setDraft] = useState<Draft>(() => firstDraft(problem, time, about));
  const [fault, setFault] = useState<string | null>(null);
  const kindId = useId();
  return (
    <form
      id={id}
      className="trouble-form"
      onSubmit={(event) => {
        event.preventDefault();
        const told = toldOf(problem, time, draft);
        setFault(typeof told === "string" ? told : null);
        if (typeof told !== "string") onTell(told);
      }}
    >
      <div className="field">
        <label htmlFor={kindId}>{say.kind}</label>
        <select id={kindId} value={draft.kind} onChange={(event) => setDraft({ ...draft, kind: event.target.value as Kind })}>
          {KINDS.map((kind: ToldTrouble["kind"]) => (
            <option key={kind} value={kind}>
              {say.kinds[kind]}
            </option>
          ))}
        </select>
      </div>
      <TroubleFields problem={problem} time={time} draft={draft} set={(change) => setDraft({ ...draft, ...change })} />
      {fault !== null ? (
        <p className="fault" role="alert">
          {fault}
        </p>
      ) : null}
    </form>
  );
}
