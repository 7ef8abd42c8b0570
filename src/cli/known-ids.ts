/** What there is instead of an id that is not there: the few that begin most like it. */
const SHOWN = 5;

export function insteadOf(wanted: string, ids: readonly string[]): string {
  if (ids.length === 0) return "it has none at all";
  const alike = (id: string): number => {
    let at = 0;
    while (at < id.length && at < wanted.length && id[at]?.toLowerCase() === wanted[at]?.toLowerCase()) at++;
    return at;
  };
  const near = ids.toSorted((a, b) => alike(b) - alike(a)).slice(0, SHOWN);
  const more = ids.length - near.length;
  return `it has ${near.join(", ")}${more > 0 ? ` and ${more} more` : ""}`;
}
