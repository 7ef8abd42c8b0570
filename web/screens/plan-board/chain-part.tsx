/** The panel's word on a chain: its steps by number, the slack of the chosen work, and how sure the promised orders are. */
import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import type { Bar } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { howSureQuery } from "../../client/how-sure.ts";
import { Chance } from "../../parts/chance.tsx";
import { durationText } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { WorkingOut } from "../how-sure/working-out.tsx";
import type { BoardController } from "./board-controller.ts";
import { useBoard } from "./use-board.ts";
import { lookAlong } from "./use-chain.ts";
import "./chain-part.css";

const w = words.howSure;
const THREATENED = 0.8;
const SHOWN_MAX = 6;

export function ChainPart({ controller, show }: { readonly controller: BoardController; readonly show: (bar: Bar) => void }) {
  const wish = useBoard(controller, "chainWish");
  const chain = useBoard(controller, "chain");
  const model = useBoard(controller, "model");
  if (wish === null) return null;
  const title = wish.kind === "plan" ? w.board.criticalTitle : w.board.orderTitle(wish.order);
  return (
    <section aria-labelledby="board-chain">
      <h3 id="board-chain">{title}</h3>
      {chain === null ? <p role="status">{w.chain.looking}</p> : null}
      {chain && chain.bars.length === 0 ? <p className="quiet">{w.board.noChain}</p> : null}
      {chain && chain.bars.length > 0 ? (
        <>
          <p className="quiet">{wish.kind === "plan" ? w.board.criticalAbout : w.board.orderAbout}</p>
          <ol className="board-chain">
            {chain.bars.map(({ key, operation, start, sentence }) => {
              const bar = model.byKey.get(key);
              return (
                <li key={key}>
                  <button type="button" className="board-conflict" disabled={!bar} onClick={() => bar && show(bar)}>
                    <strong>
                      {bar?.number ?? operation} {model.shop.time.short(start)}
                    </strong>
                    {sentence === null ? null : <span>{sentence}</span>}
                  </button>
                </li>
              );
            })}
          </ol>
        </>
      ) : null}
      <div className="row">
        {chain ? (
          <button type="button" className="button button-small" onClick={() => lookAlong(controller, chain)}>
            {w.board.whole}
          </button>
        ) : null}
        <button type="button" className="button button-small" onClick={() => controller.showChain(null)}>
          {w.board.hide}
        </button>
      </div>
    </section>
  );
}

/** How much later the chosen work may start; said while the chain of the plan is shown. */
export function SlackLine({ controller, bar }: { readonly controller: BoardController; readonly bar: Bar }) {
  const slack = useBoard(controller, "chain")?.slack.get(bar.key);
  if (!slack) return null;
  return (
    <p title={w.board.slackHow}>
      {slack.pushing === 0 ? w.board.noSlack : w.board.slack(durationText(slack.alone), durationText(slack.pushing))}
    </p>
  );
}

/** The promised orders that the plan is least sure of. */
export function HowSurePart({ model, show }: { readonly model: BoardModel; readonly show: (order: string) => void }) {
  const latest = useQuery(howSureQuery).data ?? null;
  const threatened = (latest?.answer.orders ?? [])
    .filter(({ onTime, order }) => onTime !== null && onTime < THREATENED && model.shop.order.has(order))
    .toSorted((a, b) => (a.onTime ?? 1) - (b.onTime ?? 1));
  return (
    <section aria-labelledby="board-how-sure">
      <h3 id="board-how-sure">{w.panelTitle}</h3>
      {latest === null ? <p className="quiet">{w.panelNone}</p> : null}
      {latest?.stale ? <p className="quiet">{w.stale}</p> : null}
      {latest && threatened.length === 0 ? <p className="quiet">{w.panelAllSure}</p> : null}
      <ul className="board-list">
        {threatened.slice(0, SHOWN_MAX).map(({ order, onTime }) => (
          <li key={order}>
            <button type="button" onClick={() => show(order)}>
              <span>
                {order} {model.shop.order.get(order)?.name}
              </span>
              <Chance share={onTime ?? 0} stale={latest?.stale ?? false} />
            </button>
          </li>
        ))}
      </ul>
      {threatened.length > SHOWN_MAX ? <p className="quiet">{w.more(threatened.length - SHOWN_MAX)}</p> : null}
      {latest === null || latest.stale ? <WorkingOut known={latest !== null} small /> : null}
      {latest ? (
        <Link className="button button-small" to="/how-sure">
          {w.open}
        </Link>
      ) : null}
    </section>
  );
}
