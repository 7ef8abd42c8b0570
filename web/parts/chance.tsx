/** A chance: a gauge with four ticks, the figure and a word. The length and the word carry it, never the hue. */
import { chanceText } from "../present/amounts.ts";
import { words } from "../words/words.ts";

export type Degree = keyof typeof words.howSure.degree;

/** Where words change; common practice, no source. */
export const degreeOf = (share: number): Degree =>
  share >= 0.95 ? "sure" : share >= 0.8 ? "likely" : share >= 0.5 ? "unsure" : "unlikely";

const WIDTH = 46;

export function Chance({
  share,
  stale = false,
  compact = false,
  title,
}: {
  readonly share: number;
  readonly stale?: boolean;
  /** The word is only said, not shown: for narrow columns. */
  readonly compact?: boolean;
  readonly title?: string;
}) {
  const degree = degreeOf(share);
  const low = degree === "unsure" || degree === "unlikely";
  return (
    <span
      className="chance"
      data-low={low || undefined}
      data-stale={stale || undefined}
      title={title ?? (stale ? words.howSure.stale : undefined)}
    >
      <svg viewBox={`0 0 ${WIDTH} 10`} aria-hidden="true">
        <rect
          x="0.5"
          y="1.5"
          width={WIDTH - 1}
          height="7"
          fill="none"
          stroke="currentColor"
          strokeDasharray={stale ? "2 2" : undefined}
        />
        <rect x="0.5" y="1.5" width={(WIDTH - 1) * share} height="7" fill="currentColor" />
        {[0.5, 0.8, 0.95].map((tick) => (
          <line key={tick} x1={WIDTH * tick} x2={WIDTH * tick} y1="0" y2="10" stroke="var(--sheet)" strokeWidth="1" />
        ))}
      </svg>
      {compact ? (
        <span>
          {chanceText(share)}
          <span className="visually-hidden">, {words.howSure.degree[degree]}</span>
        </span>
      ) : (
        <span>{words.howSure.chanceText(chanceText(share), words.howSure.degree[degree])}</span>
      )}
    </span>
  );
}
