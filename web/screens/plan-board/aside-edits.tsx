/**
 * Changes that the draft has not taken, because somebody else changed the same work, the server refused them, or somebody else made
 * them in this browser and left: what each would do, what stands there now, and the two ways on. They stay until one is chosen.
 */
import type { BoardModel } from "../../board/board-model.ts";
import { applyEdit } from "../../board/plan-edit.ts";
import { words } from "../../words/words.ts";
import type { BoardController } from "./board-controller.ts";
import { machinesOfBar } from "./describe.ts";
import type { AsideEdit } from "./draft-sync.ts";
import type { Aside } from "./kept-edits.ts";

type AsideEditsProps = {
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly edits: readonly AsideEdit[];
  readonly mayEdit: boolean;
  readonly onPutIn: (id: string) => void;
  readonly onLetGo: (id: string) => void;
};

/** Where an operation lies in the draft that is shown. */
function liesNow(model: BoardModel, operation: string): string {
  const w = words.board.aside;
  const bar = model.bars.find((each) => each.operation.id === operation && each.state !== "done");
  if (!bar) return model.shop.operation.has(operation) ? w.notPlanned(operation) : w.gone(operation);
  return w.now(operation, bar.mode.machines.length === 0 ? "" : machinesOfBar(model, bar), model.shop.time.short(bar.start));
}

function whyOf(aside: Aside): string {
  const w = words.board.aside;
  switch (aside.kind) {
    case "refused":
      return w.refused(aside.reason);
    case "overtaken":
      return w.overtaken;
    case "ofAnother":
      return aside.name === null ? w.ofNobody : w.ofAnother(aside.name);
  }
}

export function AsideEdits({ controller, model, edits, mayEdit, onPutIn, onLetGo }: AsideEditsProps) {
  const w = words.board.aside;
  if (edits.length === 0) return null;
  const others = edits.some(({ aside }) => aside.kind === "ofAnother");
  const look = (edit: AsideEdit | null): void => controller.showGhosts(edit === null ? null : applyEdit(model.plan, edit.edit));
  return (
    <section className="board-offer" aria-label={w.title} role="alert" data-testid="aside-edits">
      <div className="board-offer-head">
        <p>{w.title}</p>
        <p className="quiet">{others ? w.aboutOthers : w.about}</p>
      </div>
      <ul className="aside-edits">
        {edits.map((each) => {
          const { changes, note } = each.edit;
          const more = changes.length - 1;
          return (
            <li key={each.id}>
              <div>
                <strong>{note === "" ? w.unnamed(changes.length) : note}</strong>
                <span>
                  {whyOf(each.aside)} {changes[0] ? liesNow(model, changes[0].operation) : ""} {more > 0 ? w.more(more) : ""}
                </span>
              </div>
              <button
                type="button"
                className="button button-small"
                disabled={!mayEdit}
                onPointerEnter={() => look(each)}
                onPointerLeave={() => look(null)}
                onFocus={() => look(each)}
                onBlur={() => look(null)}
                onClick={() => {
                  look(null);
                  onPutIn(each.id);
                }}
              >
                {each.aside.kind === "ofAnother" ? w.putInMine : w.putIn}
              </button>
              <button type="button" className="button button-small" onClick={() => onLetGo(each.id)}>
                {w.letGo}
              </button>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
