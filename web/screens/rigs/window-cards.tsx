/** What the free windows say in words: a card for each with its reasons, earlier ones that need somebody moved, rigs that cannot. */
import type { FreeWindowsAnswer, FreeWindowView } from "../../../src/contract/api/questions/free-windows.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { Section } from "../../parts/page.tsx";
import { Notice } from "../../parts/states.tsx";
import { durationText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.rigs;

type CardsProps = {
  readonly answer: FreeWindowsAnswer;
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly onAsk: ((window: FreeWindowView) => void) | null;
};

export function WindowCards({ answer, problem, time, onAsk }: CardsProps) {
  const crewName = (id: string): string => problem.crews.find((crew) => crew.id === id)?.name ?? id;
  return (
    <ol className="columns window-cards">
      {answer.windows.map((window, i) => (
        <li className="card" key={`${window.machine} ${window.start}`}>
          <div className="card-title">
            <span className="window-number">{i + 1}</span>
            <strong>{window.name}</strong>
          </div>
          <p className="window-span">{w.span(time.dayTime(window.start), time.dayTime(window.end))}</p>
          <ul>
            <li>
              {freeText(window, answer.earliest, time)},{" "}
              {window.next === null ? w.untilEnd : w.until(time.dayTime(window.freeUntil), window.next)}
            </li>
            {isFirstOfGap(answer, i) && window.start > Math.max(window.freeFrom, answer.earliest) ? (
              <li>{w.waits(durationText(window.start - Math.max(window.freeFrom, answer.earliest)))}</li>
            ) : null}
            {window.nightMinutes > 0 ? <li>{w.night(durationText(window.nightMinutes))}</li> : null}
            {window.rests.map(([from, until]) => (
              <li key={from}>{w.restOver(durationText(answer.minutes), time.short(from), time.short(until))}</li>
            ))}
            {window.crews.length > 0 ? <li>{w.attendedBy(window.crews.map(crewName).join(", "))}</li> : null}
          </ul>
          {onAsk === null ? null : (
            <div className="row">
              <button type="button" className="button button-small" onClick={() => onAsk(window)}>
                {w.ask}
              </button>
            </div>
          )}
        </li>
      ))}
    </ol>
  );
}

/** Later windows of one gap begin where the one before them ends; only the first waits for anything. */
const isFirstOfGap = ({ windows }: FreeWindowsAnswer, index: number): boolean =>
  !windows
    .slice(0, index)
    .some(({ machine, freeFrom }) => machine === windows[index]?.machine && freeFrom === windows[index]?.freeFrom);

function freeText({ freeFrom, after }: FreeWindowView, earliest: number, time: SiteTime): string {
  if (after !== null) return w.freeAfter(time.dayTime(freeFrom), after);
  return freeFrom <= earliest ? w.freeBefore : w.freeFrom(time.dayTime(freeFrom));
}

export function BetterWindows({ answer, time }: { readonly answer: FreeWindowsAnswer; readonly time: SiteTime }) {
  const [first] = answer.windows;
  if (answer.better.length === 0) return null;
  return (
    <Section title={w.better} about={w.betterAbout}>
      <ul className="columns window-cards">
        {answer.better.map((better) => (
          <li className="card card-phantom" key={`${better.machine} ${better.start} ${better.moves}`}>
            <div className="card-title">
              <strong>{better.name}</strong>
              {first ? <span className="quiet">{w.earlierBy(durationText(first.end - better.end))}</span> : null}
            </div>
            <p className="window-span">{w.span(time.dayTime(better.start), time.dayTime(better.end))}</p>
            <ul>
              <li>{w.betterMoves(`${better.moves} ${better.movesName}`, `${better.order} ${better.orderName}`)}</li>
              <li>
                {better.movesTo === null
                  ? w.betterNowhere
                  : w.betterTo(
                      better.movesFrom === null ? "" : time.dayTime(better.movesFrom),
                      time.dayTime(better.movesTo),
                      better.movesOnto.join(" + "),
                    )}
              </li>
              {better.movesTo === null ? null : (
                <li className={better.makesLate ? "late" : undefined}>{better.makesLate ? w.betterLate : w.betterHarmless}</li>
              )}
            </ul>
          </li>
        ))}
      </ul>
    </Section>
  );
}

/** Rigs without a window, and rigs that cannot at all. */
export function WithoutWindows({ answer }: { readonly answer: FreeWindowsAnswer }) {
  return (
    <>
      {answer.windows.length === 0 ? (
        <Notice kind="warn" title={w.noneTitle}>
          {answer.why.length > 0 ? answer.why.join(" ") : answer.full.length === 0 ? w.cannotAll : w.none}
        </Notice>
      ) : null}
      {answer.full.length > 0 ? (
        <p className="window-full">
          <span className="quiet">{w.full}:</span> {answer.full.map(({ name }) => name).join(", ")}
        </p>
      ) : null}
      {answer.cannot.length > 0 ? (
        <Section title={w.cannot}>
          <RigReasons rigs={answer.cannot} />
        </Section>
      ) : null}
    </>
  );
}

export function RigReasons({
  rigs,
}: {
  readonly rigs: readonly { readonly name: string; readonly reasons: readonly string[] }[];
}) {
  return (
    <dl className="rig-reasons">
      {rigs.map(({ name, reasons }) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{reasons.join("; ")}</dd>
        </div>
      ))}
    </dl>
  );
}
