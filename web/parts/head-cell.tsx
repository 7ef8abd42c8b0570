/** The head of a table's column: its label, right-aligned over figures, and for what a screen works out the way it is computed. */
import { HowComputed } from "./term.tsx";

type HeadCellProps = {
  readonly label: string;
  /** null: people typed it, there is nothing to explain. */
  readonly how: string | null;
  readonly number?: boolean;
};

export function HeadCell({ label, how, number = false }: HeadCellProps) {
  return (
    <th scope="col" className={number ? "number" : undefined}>
      {how === null ? label : <HowComputed label={label} text={how} />}
    </th>
  );
}

/** The head of a row of measures. */
export function MeasureHead({ label, how, strong = false }: Omit<HeadCellProps, "number"> & { readonly strong?: boolean }) {
  const said = how === null ? label : <HowComputed label={label} text={how} />;
  return <th scope="row">{strong ? <strong>{said}</strong> : said}</th>;
}
