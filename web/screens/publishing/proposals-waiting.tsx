/** How many drafts wait to be published, beside the button that publishes: a way to them. Nothing while none does. */
import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { proposalsQuery } from "../../client/publishing.ts";
import { words } from "../../words/words.ts";

export function ProposalsWaiting() {
  const open = (useQuery(proposalsQuery).data ?? []).filter(({ state }) => state === "open");
  if (open.length === 0) return null;
  return (
    <Link className="button" to="/published">
      {words.publishing.waiting(open.length)}
    </Link>
  );
}
