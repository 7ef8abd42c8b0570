/** What a screen shows when it has nothing to show: reading, nothing there, refused, not reached, not allowed. */
import type { ReactNode } from "react";
import type { Role } from "../../src/contract/api/role.ts";
import { ApiProblem, NotReached, UnexpectedAnswer } from "../client/api-problem.ts";
import { words } from "../words/words.ts";

export function Loading() {
  return (
    <p className="loading" role="status">
      {words.shell.loading} …
    </p>
  );
}

/** A phantom outline with what to do. */
export function Empty({
  title,
  children,
  actions,
}: {
  readonly title: string;
  readonly children?: ReactNode;
  readonly actions?: ReactNode;
}) {
  return (
    <div className="empty">
      <h2>{title}</h2>
      {children ? <p>{children}</p> : null}
      {actions ? <div className="row">{actions}</div> : null}
    </div>
  );
}

export function Notice({
  kind,
  title,
  children,
  actions,
}: {
  readonly kind?: "bad" | "warn";
  readonly title?: string;
  readonly children?: ReactNode;
  readonly actions?: ReactNode;
}) {
  return (
    <div className={kind ? `notice notice-${kind}` : "notice"} role={kind === "bad" ? "alert" : "note"}>
      <div>
        {title ? <strong>{title}</strong> : null}
        {children ? <div>{children}</div> : null}
      </div>
      {actions}
    </div>
  );
}

/** An error in words: what happened and what to do. */
export function errorText(error: unknown): { readonly title: string; readonly text: string; readonly id: string | null } {
  if (error instanceof ApiProblem) {
    if (error.status === 404)
      return { title: words.states.notFoundTitle, text: error.details.detail ?? words.states.notFound, id: null };
    if (error.status === 401) return { title: words.states.noRightsTitle, text: words.states.signInFirst, id: null };
    return {
      title: error.details.title,
      text: error.details.detail ?? "",
      id: error.status >= 500 ? (error.details.instance ?? null) : null,
    };
  }
  if (error instanceof NotReached) return { title: words.states.failedTitle, text: words.states.notReached, id: null };
  if (error instanceof UnexpectedAnswer) return { title: words.states.failedTitle, text: words.states.unexpected, id: null };
  return { title: words.states.crashedTitle, text: words.states.crashed, id: null };
}

export function Failure({ error, retry }: { readonly error: unknown; readonly retry?: (() => void) | undefined }) {
  const { title, text, id } = errorText(error);
  return (
    <Notice
      kind="bad"
      title={title}
      actions={
        retry ? (
          <button type="button" className="button" onClick={retry}>
            {words.shell.tryAgain}
          </button>
        ) : null
      }
    >
      {text}
      {id ? <span className="quiet"> {words.states.requestId(id)}</span> : null}
    </Notice>
  );
}

export const roleList = (roles: readonly Role[]): string => roles.map((role) => `${words.shell.roles[role]}s`).join(" and ");

export function NoRights({ roles }: { readonly roles: readonly Role[] }) {
  return <Notice title={words.states.noRightsTitle}>{words.states.noRights(roleList(roles))}</Notice>;
}

export function ReadOnlyNote({ roles }: { readonly roles: readonly Role[] }) {
  return <Notice>{words.states.readOnly(roleList(roles))}</Notice>;
}
