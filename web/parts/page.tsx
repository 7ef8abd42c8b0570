/** The frame of a page: its title, its figures as a title block, its actions; and sections below. */
import { type ReactNode, useEffect } from "react";
import { words } from "../words/words.ts";
import { HowComputed } from "./term.tsx";

export type Figure = {
  readonly label: string;
  readonly value: ReactNode;
  /** How a figure that is worked out comes about; null: people typed it, or it is a name. */
  readonly how: string | null;
};

type PageProps = {
  readonly title: string;
  readonly about?: ReactNode;
  /** A link back, when the page lies below another one. */
  readonly back?: ReactNode;
  readonly figures?: readonly Figure[];
  readonly actions?: ReactNode;
  readonly narrow?: boolean;
  readonly children: ReactNode;
};

export function Page({ title, about, back, figures, actions, narrow, children }: PageProps) {
  useEffect(() => {
    document.title = `${title} - ${words.shell.product}`;
  }, [title]);
  return (
    <div className={narrow ? "page page-narrow" : "page"}>
      <header className="page-head">
        <div className="page-head-text">
          {back ? <div className="page-back">{back}</div> : null}
          <h1>{title}</h1>
          {about ? <p>{about}</p> : null}
        </div>
        {actions ? <div className="page-actions">{actions}</div> : null}
        {figures && figures.length > 0 ? (
          <dl className="title-block">
            {figures.map(({ label, value, how }) => (
              <div key={label}>
                <dt>{how === null ? label : <HowComputed label={label} text={how} />}</dt>
                <dd>{value}</dd>
              </div>
            ))}
          </dl>
        ) : null}
      </header>
      {children}
    </div>
  );
}

export function Section({
  title,
  about,
  actions,
  children,
}: {
  readonly title: ReactNode;
  readonly about?: ReactNode;
  readonly actions?: ReactNode;
  readonly children: ReactNode;
}) {
  return (
    <section className="section">
      <div className="section-head">
        <h2>{title}</h2>
        {about ? <p>{about}</p> : null}
        {actions ? <div className="push row">{actions}</div> : null}
      </div>
      {children}
    </section>
  );
}
