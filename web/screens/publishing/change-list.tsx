/** What people will be told, or were told: conflicts, frozen work that moves, orders that become late, changes by crew and machine. */
import { Link } from "@tanstack/react-router";
import type { OperationChange, PlanChanges } from "../../../src/contract/api/plan.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

type ChangeListProps = {
  readonly changes: PlanChanges;
  readonly time: SiteTime;
  /** Work published to start before it is frozen; null: none is. */
  readonly freeze: number | null;
  /** Groups stand open, where there is a page for them. */
  readonly open?: boolean;
  /** Instead of what publishing would change: of two plans side by side. */
  readonly heading?: string;
};

export function ChangeList({ changes, time, freeze, open = false, heading }: ChangeListProps) {
  const { publish } = words.board;
  const frozen = changes.machines
    .flatMap((machine) => machine.changes)
    .filter(({ before }) => before !== null && freeze !== null && before.start < freeze);
  const frozenOnce = [...new Map(frozen.map((change) => [change.operation, change])).values()];
  return (
    <div className="board-changes">
      <p>
        <strong>{heading ?? publish.changed(changes.changed)}</strong>
      </p>
      <h3>{publish.conflicts}</h3>
      {changes.conflicts.length === 0 ? (
        <p className="quiet">{publish.noConflicts}</p>
      ) : (
        <ul>
          {changes.conflicts.map((conflict) => (
            <li key={`${conflict.kind}-${conflict.resource ?? ""}-${conflict.operations.join()}-${conflict.interval[0]}`}>
              {conflict.sentence}
            </li>
          ))}
        </ul>
      )}
      {frozenOnce.length > 0 ? (
        <>
          <h3>{publish.frozen}</h3>
          <ul>
            {frozenOnce.map((change) => (
              <Change key={change.operation} change={change} />
            ))}
          </ul>
        </>
      ) : null}
      {changes.becomeLate.length > 0 ? (
        <>
          <h3>{publish.becomeLate}</h3>
          <ul>
            {changes.becomeLate.map(({ order, name, late, after }) => (
              <li key={order}>
                {order} {name}: {time.short(after)}, <span className="late">{publish.lateBy(late)}</span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {changes.noLongerLate.length > 0 ? (
        <>
          <h3>{publish.noLonger}</h3>
          <p>{changes.noLongerLate.map(({ order, name }) => `${order} ${name}`).join(", ")}</p>
        </>
      ) : null}
      <Grouped title={publish.crews} groups={changes.crews} open={open} />
      <Grouped title={publish.machines} groups={changes.machines} open={open} />
    </div>
  );
}

/** Sentences name the operation as people call it, and every order has a "Mill housing": its number says which. */
function Change({ change }: { readonly change: OperationChange }) {
  const label = change.operation.startsWith(`${change.order}/`) ? change.operation : `${change.order} ${change.operation}`;
  return (
    <li>
      <Link to="/orders/$id" params={{ id: change.order }} className="change-of">
        {label}
      </Link>{" "}
      {change.sentence}
    </li>
  );
}

function Grouped({
  title,
  groups,
  open,
}: {
  readonly title: string;
  readonly groups: PlanChanges["machines"];
  readonly open: boolean;
}) {
  if (groups.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      <div className="change-groups">
        {groups.map(({ id, name, changes }) => (
          <details key={id} open={open}>
            <summary>
              {id === "" ? words.board.publish.noMachine : name} ({changes.length})
            </summary>
            <ul>
              {changes.map((change) => (
                <Change key={change.operation} change={change} />
              ))}
            </ul>
          </details>
        ))}
      </div>
    </>
  );
}
