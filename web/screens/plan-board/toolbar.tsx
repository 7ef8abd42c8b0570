/** Tools over the drawing: time, zoom, what is shown, other views, find. */
import { nearestStop, spanOf, ZOOM_STOPS } from "../../board/camera.ts";
import { choiceKey, type StripChoice } from "../../board/demand.ts";
import type { Density } from "../../board/lanes.ts";
import { timeArea } from "../../board/paint/surface.ts";
import type { Found } from "../../board/search.ts";
import { ROW } from "../../tokens/tokens.ts";
import { words } from "../../words/words.ts";
import type { BoardController } from "./board-controller.ts";
import { FindBox } from "./find-box.tsx";
import { useBoard } from "./use-board.ts";

type ToolbarProps = {
  readonly controller: BoardController;
  readonly table: boolean;
  readonly panel: boolean;
  readonly findBox: React.RefObject<HTMLInputElement | null>;
  readonly onTable: () => void;
  readonly onPanel: () => void;
  readonly onPrintBoard: () => void;
  readonly onPrintLists: () => void;
  readonly onGoTo: () => void;
  readonly onKeys: () => void;
  readonly onFound: (found: Found) => void;
  readonly backToBoard: () => void;
};

export function Toolbar(props: ToolbarProps) {
  const { controller } = props;
  const { tools } = words.board;
  const options = useBoard(controller, "options");
  const model = useBoard(controller, "model");
  const chain = useBoard(controller, "chainWish");
  return (
    <div className="board-tools" role="toolbar" aria-label={words.board.title}>
      {props.table ? null : (
        <>
          <div className="board-steps">
            <button type="button" className="button" onClick={() => controller.page(-1)} aria-label={tools.earlier}>
              ←
            </button>
            <button type="button" className="button" onClick={() => controller.toNow()} aria-keyshortcuts="T">
              {tools.now}
            </button>
            <button type="button" className="button" onClick={() => controller.page(1)} aria-label={tools.later}>
              →
            </button>
          </div>
          <ZoomScale controller={controller} />
          <label className="check">
            <input
              type="checkbox"
              checked={options.published}
              onChange={(event) => controller.setOptions({ published: event.target.checked })}
            />
            {tools.published}
          </label>
          <label className="check">
            <input
              type="checkbox"
              checked={options.links}
              onChange={(event) => controller.setOptions({ links: event.target.checked })}
            />
            {tools.links}
          </label>
          <label className="check" title={words.howSure.board.criticalHow}>
            <input
              type="checkbox"
              checked={chain?.kind === "plan"}
              onChange={(event) => controller.showChain(event.target.checked ? { kind: "plan" } : null)}
            />
            {words.howSure.board.critical}
          </label>
          <StripSelect controller={controller} />
          <select
            aria-label={tools.rows}
            value={options.density}
            onChange={(event) => controller.setOptions({ density: event.target.value as Density })}
          >
            {(Object.keys(ROW) as Density[]).map((density) => (
              <option key={density} value={density}>
                {tools.densities[density]}
              </option>
            ))}
          </select>
        </>
      )}
      <div className="board-tools-end">
        <button type="button" className="button" onClick={props.onGoTo} aria-keyshortcuts="G">
          {tools.goTo}
        </button>
        <button type="button" className="button" onClick={props.onTable} aria-pressed={props.table} aria-keyshortcuts="V">
          {props.table ? tools.board : tools.table}
        </button>
        <PrintMenu {...props} />
        <button type="button" className="button" onClick={props.onPanel} aria-pressed={props.panel}>
          {tools.panel}
        </button>
        <button type="button" className="button" onClick={props.onKeys} aria-keyshortcuts="?" aria-label={words.board.keys.title}>
          ?
        </button>
        <FindBox
          controller={controller}
          box={props.findBox}
          onFound={props.onFound}
          onLeave={props.backToBoard}
          key={model.shop.problem.name}
        />
      </div>
    </div>
  );
}

/** Named stops on a logarithmic scale; the mark shows where the view is. */
function ZoomScale({ controller }: { readonly controller: BoardController }) {
  const camera = useBoard(controller, "camera");
  const size = useBoard(controller, "size");
  const span = spanOf(camera, timeArea(size));
  const near = nearestStop(span);
  return (
    <fieldset className="board-zoom">
      <legend className="visually-hidden">{words.board.tools.zoom}</legend>
      {ZOOM_STOPS.map((stop, i) => (
        <button type="button" key={stop} aria-pressed={i === near} onClick={() => controller.zoomTo(stop)}>
          {words.board.tools.stops[i]}
        </button>
      ))}
    </fieldset>
  );
}

function StripSelect({ controller }: { readonly controller: BoardController }) {
  const options = useBoard(controller, "options");
  const model = useBoard(controller, "model");
  const { tools } = words.board;
  const { crews, supplies, kits } = model.shop.problem;
  const choices: { readonly label: string; readonly list: readonly { readonly choice: StripChoice; readonly name: string }[] }[] =
    [
      { label: tools.crews, list: crews.map(({ id, name }) => ({ choice: { kind: "crew", id }, name })) },
      { label: tools.supplies, list: supplies.map(({ id, name }) => ({ choice: { kind: "supply", id }, name })) },
      { label: tools.kits, list: kits.map(({ id, name }) => ({ choice: { kind: "kit", id }, name })) },
    ];
  const all = choices.flatMap(({ list }) => list);
  return (
    <select
      aria-label={tools.strip}
      value={options.strip ? choiceKey(options.strip) : ""}
      onChange={(event) => {
        const { value } = event.target;
        const found = all.find(({ choice }) => choiceKey(choice) === value)?.choice ?? null;
        controller.setOptions({ strip: value === "hands" ? { kind: "hands" } : found });
      }}
    >
      <option value="hands">{tools.stripHands}</option>
      {choices.map(({ label, list }) =>
        list.length === 0 ? null : (
          <optgroup key={label} label={label}>
            {list.map(({ choice, name }) => (
              <option key={choiceKey(choice)} value={choiceKey(choice)}>
                {name}
              </option>
            ))}
          </optgroup>
        ),
      )}
      <option value="">{tools.stripNone}</option>
    </select>
  );
}

function PrintMenu({ onPrintBoard, onPrintLists }: Pick<ToolbarProps, "onPrintBoard" | "onPrintLists">) {
  const { tools } = words.board;
  return (
    <select
      aria-label={tools.print}
      value=""
      className="board-print-menu"
      onChange={(event) => {
        if (event.target.value === "board") onPrintBoard();
        else if (event.target.value === "lists") onPrintLists();
      }}
    >
      <option value="" disabled hidden>
        {tools.print}
      </option>
      <option value="board">{tools.printBoard}</option>
      <option value="lists">{tools.printLists}</option>
    </select>
  );
}
