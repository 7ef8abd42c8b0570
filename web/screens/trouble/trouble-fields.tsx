/** The facts of each kind of trouble as fields. Times are wall times of the site, and say so. */
import { type ReactNode, useId } from "react";
import type { Operation } from "../../../src/core/orders/operation.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { operationNumber } from "../../board/bar.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { closedNow, type Draft } from "./trouble-draft.ts";

type FieldsProps = {
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly draft: Draft;
  readonly set: (change: Partial<Draft>) => void;
};

export function TroubleFields({ problem, time, draft, set }: FieldsProps) {
  const say = words.trouble;
  const order = (
    <Choice
      label={say.order}
      value={draft.order}
      onChange={(value) => set({ order: value, operation: "", remakeFrom: "" })}
      list={problem.orders.map(({ id, name }) => ({ id, name: name === id ? id : `${id} ${name}` }))}
    />
  );
  const from = <Moment label={say.from(time.zone)} value={draft.from} onChange={(value) => set({ from: value })} />;
  const until = (label: string, disabled = false): ReactNode => (
    <Moment label={label} value={draft.until} disabled={disabled} onChange={(value) => set({ until: value })} />
  );
  const reason = <Text label={say.reason} value={draft.reason} onChange={(value) => set({ reason: value })} optional max={200} />;
  const ofOrder = problem.operations.filter((operation) => operation.order === draft.order);
  switch (draft.kind) {
    case "machineStopped":
      return (
        <>
          <Choice label={say.machine} value={draft.machine} onChange={(machine) => set({ machine })} list={problem.machines} />
          {from}
          {until(say.until(time.zone), draft.unknown)}
          <Check
            label={say.untilUnknown}
            hint={say.untilUnknownHint}
            value={draft.unknown}
            onChange={(unknown) => set({ unknown })}
          />
          {reason}
        </>
      );
    case "machineRuns": {
      const closed = closedNow(problem);
      if (closed.length === 0) return <p className="quiet">{say.noneStands}</p>;
      return (
        <>
          <Choice label={say.standsMachine} value={draft.machine} onChange={(machine) => set({ machine })} list={closed} />
          {from}
          <p className="quiet">{say.runsHint}</p>
        </>
      );
    }
    case "personAbsent":
      return (
        <>
          <Choice label={say.crew} value={draft.crew} onChange={(crew) => set({ crew })} list={problem.crews} />
          <Count
            label={say.people}
            hint={say.peopleHint}
            value={draft.people}
            onChange={(people) => set({ people })}
            optional
            step="0.5"
            least="0.5"
          />
          {from}
          {until(say.until(time.zone))}
          {reason}
        </>
      );
    case "materialLate":
      return (
        <>
          {order}
          {until(say.release(time.zone))}
        </>
      );
    case "piecesScrapped":
      return (
        <>
          {order}
          <Choice
            label={say.lostAt}
            value={draft.operation}
            onChange={(operation) => set({ operation })}
            list={ofOrder.map(named)}
          />
          <Count label={say.pieces} value={draft.pieces} onChange={(pieces) => set({ pieces })} />
          <Choice
            label={say.remakeFrom}
            value={draft.remakeFrom}
            onChange={(remakeFrom) => set({ remakeFrom })}
            list={ofOrder.map(named)}
            none={say.fromBeginning}
          />
        </>
      );
    case "runStopped": {
      const running = problem.operations.filter(({ progress }) => progress.running.length > 0);
      if (running.length === 0) return <p className="quiet">{say.noneRuns}</p>;
      return (
        <>
          <Choice
            label={say.running}
            value={draft.operation}
            onChange={(operation) => set({ operation })}
            list={running.map(named)}
          />
          <Text
            label={say.remaining}
            hint={say.remainingHint}
            value={draft.remaining}
            onChange={(remaining) => set({ remaining })}
          />
        </>
      );
    }
    case "dateChanged":
      return (
        <>
          {order}
          <DateOnly
            label={say.due}
            hint={say.dueHint}
            value={draft.date}
            disabled={draft.nothing}
            onChange={(date) => set({ date })}
          />
          <Check label={say.nothingPromised} value={draft.nothing} onChange={(nothing) => set({ nothing })} />
        </>
      );
    case "quantityChanged":
      return (
        <>
          {order}
          <Count label={say.quantity} value={draft.pieces} onChange={(pieces) => set({ pieces })} />
        </>
      );
  }
}

const named = (operation: Operation): { readonly id: string; readonly name: string } => ({
  id: operation.id,
  name: `${operationNumber(operation)} ${operation.name}`,
});

type FieldProps<T> = {
  readonly label: string;
  readonly hint?: string;
  readonly value: T;
  readonly onChange: (value: T) => void;
  readonly disabled?: boolean;
  readonly optional?: boolean;
};

function Frame({
  label,
  hint,
  children,
}: {
  label: string;
  hint?: string | undefined;
  children: (id: string, hintId: string | undefined) => ReactNode;
}) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      {children(id, hint ? `${id}-hint` : undefined)}
      {hint ? (
        <small id={`${id}-hint`} className="quiet">
          {hint}
        </small>
      ) : null}
    </div>
  );
}

function Choice({
  label,
  value,
  onChange,
  list,
  none,
}: FieldProps<string> & { readonly list: readonly { readonly id: string; readonly name: string }[]; readonly none?: string }) {
  return (
    <Frame label={label}>
      {(id) => (
        <select id={id} value={value} required={none === undefined} onChange={(event) => onChange(event.target.value)}>
          <option value="">{none ?? words.trouble.chooseOne}</option>
          {list.map((each) => (
            <option key={each.id} value={each.id}>
              {each.name}
            </option>
          ))}
        </select>
      )}
    </Frame>
  );
}

const Moment = ({ label, value, onChange, disabled = false }: FieldProps<string>) => (
  <Frame label={label}>
    {(id) => (
      <input
        id={id}
        type="datetime-local"
        value={value}
        required={!disabled}
        disabled={disabled}
        onChange={(event) => onChange(event.target.value)}
      />
    )}
  </Frame>
);

const DateOnly = ({ label, hint, value, onChange, disabled = false }: FieldProps<string>) => (
  <Frame label={label} hint={hint}>
    {(id, hintId) => (
      <input
        id={id}
        type="date"
        aria-describedby={hintId}
        value={value}
        required={!disabled}
        disabled={disabled}
        onChange={(event) => onChange(event.target.value)}
      />
    )}
  </Frame>
);

const Text = ({ label, hint, value, onChange, optional = false, max = 60 }: FieldProps<string> & { readonly max?: number }) => (
  <Frame label={label} hint={hint}>
    {(id, hintId) => (
      <input
        id={id}
        aria-describedby={hintId}
        value={value}
        required={!optional}
        maxLength={max}
        onChange={(event) => onChange(event.target.value)}
      />
    )}
  </Frame>
);

const Count = ({
  label,
  hint,
  value,
  onChange,
  optional = false,
  step = "1",
  least = "1",
}: FieldProps<string> & { readonly step?: string; readonly least?: string }) => (
  <Frame label={label} hint={hint}>
    {(id, hintId) => (
      <input
        id={id}
        type="number"
        inputMode="decimal"
        aria-describedby={hintId}
        min={least}
        step={step}
        value={value}
        required={!optional}
        onChange={(event) => onChange(event.target.value)}
      />
    )}
  </Frame>
);

function Check({ label, hint, value, onChange }: FieldProps<boolean>) {
  const id = useId();
  return (
    <div className="field">
      <label className="check">
        <input
          type="checkbox"
          checked={value}
          aria-describedby={hint ? id : undefined}
          onChange={(event) => onChange(event.target.checked)}
        />
        {label}
      </label>
      {hint ? (
        <small id={id} className="quiet">
          {hint}
        </small>
      ) : null}
    </div>
  );
}
