/** The legend under the board; its first line is the one rule that teaches the rest. */
import { words } from "../../words/words.ts";
import { LegendMark } from "./marks.tsx";

export function Legend() {
  const { looks, legend } = words.board;
  const entries = [
    ["setup", looks.setup],
    ["attended", looks.attended],
    ["unattended", looks.unattended],
    ["waits", looks.waits],
    ["paused", looks.paused],
    ["unload", looks.unload],
    ["rig", legend.rig],
    ["maintenance", legend.maintenance],
    ["published", legend.published],
    ["pastDue", legend.pastDue],
    ["rush", legend.rush],
    ["frozen", legend.frozen],
    ["pinned", legend.pinned],
    ["conflict", legend.conflict],
  ] as const;
  return (
    <section className="board-legend" aria-label={legend.heading}>
      <strong>{words.board.oneRule}</strong>
      <ul>
        {entries.map(([kind, label]) => (
          <li key={kind}>
            <LegendMark kind={kind} />
            {label}
          </li>
        ))}
      </ul>
    </section>
  );
}
