/** The legend under the board; its first line is the one rule that teaches the rest. */
import { useState } from "react";
import { words } from "../../words/words.ts";
import { LegendMark } from "./marks.tsx";

/** Where the window is small the drawing comes first; the one rule stays in sight. */
const ROOMY = "(min-width: 1180px) and (min-height: 760px)";

/** `drawn`: with its marks; their places are kept before. */
export function Legend({ drawn }: { readonly drawn: boolean }) {
  const { looks, legend } = words.board;
  const [wide] = useState(() => window.matchMedia(ROOMY).matches);
  const entries = [
    ["setup", looks.setup],
    ["attended", looks.attended],
    ["unattended", looks.unattended],
    ["waits", looks.waitsForUnload],
    ["paused", looks.paused],
    ["unload", looks.unload],
    ["rig", legend.rig],
    ["maintenance", legend.maintenance],
    ["published", legend.published],
    ["pastDue", legend.pastDue],
    ["rush", legend.rush],
    ["frozen", legend.frozen],
    ["pinned", legend.pinned],
    ["heldSlot", words.fit.tentative],
    ["conflict", legend.conflict],
  ] as const;
  return (
    <details className="board-legend" open={wide}>
      <summary>
        <strong>{words.board.oneRule}</strong>
      </summary>
      <ul>
        {entries.map(([kind, label]) => (
          <li key={kind}>
            {drawn ? <LegendMark kind={kind} /> : <svg className="mark" width="24" height="18" aria-hidden="true" />}
            {label}
          </li>
        ))}
      </ul>
    </details>
  );
}
