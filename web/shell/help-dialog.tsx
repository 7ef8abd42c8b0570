/** Keys and the words of the trade, from anywhere. */
import { useState } from "react";
import { Dialog } from "../parts/dialog.tsx";
import { words } from "../words/words.ts";

export function HelpDialog({ onClose }: { readonly onClose: () => void }) {
  const [search, setSearch] = useState("");
  const wanted = search.trim().toLowerCase();
  const entries = Object.values(words.glossary)
    .filter(({ term, text }) => wanted === "" || term.toLowerCase().includes(wanted) || text.toLowerCase().includes(wanted))
    .sort((a, b) => a.term.localeCompare(b.term));
  return (
    <Dialog title={words.shell.helpTitle} onClose={onClose}>
      <h3>{words.shell.keysTitle}</h3>
      <table className="table">
        <tbody>
          {words.shell.keys.map(([key, does]) => (
            <tr key={key}>
              <td className="nowrap strong">{key}</td>
              <td>{does}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="quiet">{words.shell.boardKeysNote}</p>
      <h3>{words.shell.glossaryTitle}</h3>
      <input
        type="search"
        aria-label={words.orders.search}
        placeholder={words.orders.search}
        value={search}
        onChange={(e) => setSearch(e.target.value)}
      />
      <dl className="stack">
        {entries.map(({ term, text }) => (
          <div key={term}>
            <dt className="strong">{term}</dt>
            <dd className="quiet">{text}</dd>
          </div>
        ))}
      </dl>
    </Dialog>
  );
}
