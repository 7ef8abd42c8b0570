/** What the contract question found: for each variant whether it holds and where it breaks first, and the load week by week. */
import type { QuestionAnswer } from "../../../src/contract/api/question.ts";
import type { RouteTemplate } from "../../../src/contract/api/shop.ts";
import { useSiteTime } from "../../client/shop.ts";
import { MeasureHead } from "../../parts/head-cell.tsx";
import { Section } from "../../parts/page.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { shareText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const w = words.scenarios.contract;
const { contract: how } = words.how;

type Answer = QuestionAnswer<"contract">;
type Variant = Answer["variants"][number];
type Fullness = Variant["load"]["weeks"][number]["load"][number];

type AnswerProps = {
  readonly answer: Answer;
  readonly route: RouteTemplate;
  readonly busy: boolean;
  readonly onMake: ((variant: Variant) => void) | null;
};

export function ContractAnswer({ answer, route, busy, onMake }: AnswerProps) {
  const time = useSiteTime();
  const names = new Map([...answer.machines, ...answer.crews].map(({ id, name }) => [id, name]));
  const nameOf = (id: string): string => names.get(id) ?? id;
  const titleOf = ({ name }: Variant): string => (name === "" ? w.alone : w.withHelp(name));
  return (
    <>
      {answer.variants.length < answer.total ? <p className="late">{w.called}</p> : null}
      <div className="answer-breaks">
        {answer.variants.map((variant) => (
          <section className="answer-break" key={variant.name} aria-label={titleOf(variant)}>
            <span className="quiet">{titleOf(variant)}</span>
            <Verdict variant={variant} nameOf={nameOf} time={time} />
            {onMake === null ? null : (
              <div className="row">
                <button type="button" className="button button-small" disabled={busy} onClick={() => onMake(variant)}>
                  {w.make}
                </button>
              </div>
            )}
          </section>
        ))}
      </div>
      {answer.variants.map((variant) => (
        <Weeks key={variant.name} variant={variant} title={titleOf(variant)} route={route} nameOf={nameOf} time={time} />
      ))}
    </>
  );
}

type VerdictProps = { readonly variant: Variant; readonly nameOf: (id: string) => string; readonly time: SiteTime };

function Verdict({ variant, nameOf, time }: VerdictProps) {
  const { breaks, orders, lateOrders, harmed } = variant.load;
  const { bottleneck } = breaks ?? {};
  return (
    <>
      <b className={breaks === null ? undefined : "late"}>
        {breaks === null ? w.holds(orders) : w.breaks(dayOf(breaks.week, time))}
      </b>
      {breaks === null ? null : (
        <span>
          {w.breaksWhy(
            breaks.order,
            breaks.late === null ? w.neverDone : w.lateBy(durationText(breaks.late)),
            bottleneck == null ? "" : w.full(nameOf(bottleneck.id), shareText(bottleneck.used / bottleneck.there)),
          )}
        </span>
      )}
      <span className="quiet">
        {[w.lateOrders(lateOrders, orders), w.harmed(harmed.length), variant.conflicts > 0 ? w.conflicts(variant.conflicts) : ""]
          .filter((part) => part !== "")
          .join(". ")}
        .
      </span>
    </>
  );
}

type WeeksProps = VerdictProps & { readonly title: string; readonly route: RouteTemplate };

/** The machines of the route and the crews, the fullest first. */
function Weeks({ variant, title, route, nameOf, time }: WeeksProps) {
  const { weeks, breaks } = variant.load;
  const used = new Set(route.operations.flatMap(({ modes }) => modes.flatMap(({ machines }) => machines)));
  const things = (weeks[0]?.load ?? [])
    .filter(
      ({ kind, id }) =>
        kind === "crew" || used.has(id) || variant.changes.some((change) => change.kind === "extraMachine" && change.id === id),
    )
    .map(({ kind, id }) => {
      const cells = weeks.map(({ load }) => load.find((each) => each.kind === kind && each.id === id));
      return { kind, id, cells, most: Math.max(...cells.map((cell) => shareOf(cell) ?? 0)) };
    })
    .sort((a, b) => b.most - a.most)
    .slice(0, 8);
  return (
    <Section title={title} about={w.fullest} actions={<HowComputed label={words.how.ask} text={`${how.verdict} ${how.load}`} />}>
      <div className="table-frame">
        <table className="table compare compare-weeks">
          <thead>
            <tr>
              <th scope="col">{w.week}</th>
              {weeks.map(({ week }) => (
                <th key={week} scope="col" className="number">
                  {dayOf(week, time)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            <tr>
              <MeasureHead label={w.due} how={how.due} />
              {weeks.map(({ week, due }) => (
                <td key={week} className="number">
                  {due}
                </td>
              ))}
            </tr>
            <tr>
              <MeasureHead label={w.late} how={how.late} />
              {weeks.map(({ week, late, worstLate }) => (
                <td key={week} className="number">
                  <span className={late > 0 ? "late" : "quiet"}>{late}</span>
                  {late > 0 && worstLate > 0 ? <small>{`+${durationText(worstLate)}`}</small> : null}
                </td>
              ))}
            </tr>
            {things.map(({ kind, id, cells }) => (
              <tr key={`${kind} ${id}`}>
                <th scope="row">{nameOf(id)}</th>
                {cells.map((cell, i) => {
                  const share = shareOf(cell);
                  const week = weeks[i]?.week ?? "";
                  const here = breaks?.bottleneck?.id === id && breaks.week === week;
                  return (
                    <td key={week} className="number">
                      <span className={here ? "late" : share !== null && share >= 0.9 ? "strong" : undefined}>
                        {share === null ? words.load.closed : shareText(share)}
                      </span>
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </Section>
  );
}

const shareOf = (cell: Fullness | undefined): number | null =>
  cell === undefined || cell.there === 0 ? null : cell.used / cell.there;

function dayOf(date: string, time: SiteTime): string {
  const minute = time.minuteOf(date, "begin");
  return minute === null ? date : time.day(minute);
}
