/** An address that names no kind of thing. */
import { Page } from "../../parts/page.tsx";
import { words } from "../../words/words.ts";

export function UnknownKind() {
  return (
    <Page title={words.states.notFoundTitle}>
      <p>{words.states.notFound}</p>
    </Page>
  );
}
