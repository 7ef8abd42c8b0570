/** The two notes that follow the pointer: the verdict on a bar in the hand, and the words of a bar that lies under it. */
import { laneTops } from "../../board/lanes.ts";
import { slipOf } from "./answers.ts";
import type { BoardController } from "./board-controller.ts";
import { cellName } from "./describe.ts";
import { useBoard } from "./use-board.ts";

/** Verdict, reason and first fit, beside the pointer or the bar. */
export function SlipAtPointer({ controller }: { readonly controller: BoardController }) {
  const lift = useBoard(controller, "lift");
  const pointer = useBoard(controller, "pointer");
  const textScale = useBoard(controller, "textScale");
  const model = useBoard(controller, "model");
  const size = useBoard(controller, "size");
  const options = useBoard(controller, "options");
  if (!lift) return null;
  const slip = slipOf(model, lift);
  const camera = controller.camera();
  const row = laneTops(model.lanes, options.density)[lift.lane] ?? 0;
  const at = pointer ?? { x: size.names + (lift.start - camera.left) * camera.scale, y: size.axis + row - camera.top };
  const left = Math.max(8, Math.min(at.x * textScale + 18, size.width * textScale - 348));
  const below = at.y < 190;
  return (
    <div
      className="board-slip"
      data-refused={slip.refused || undefined}
      data-checking={slip.checking || undefined}
      aria-hidden="true"
      style={{ left, ...(below ? { top: at.y * textScale + 42 } : { bottom: (size.height - at.y) * textScale + 34 }) }}
    >
      <strong>{slip.title}</strong>
      {slip.lines.map((line) => (
        <span key={line}>{line}</span>
      ))}
    </div>
  );
}

/** Bars too small for their words say them on hover; so does every other. */
export function HoverNote({ controller }: { readonly controller: BoardController }) {
  const hover = useBoard(controller, "hover");
  const textScale = useBoard(controller, "textScale");
  const model = useBoard(controller, "model");
  const lift = useBoard(controller, "lift");
  const size = useBoard(controller, "size");
  const bar = hover ? model.byKey.get(hover.key) : undefined;
  if (!hover || !bar || lift) return null;
  const left = Math.max(8, Math.min(hover.x * textScale + 14, size.width * textScale - 330));
  const below = hover.y < size.height - 150;
  return (
    <div
      className="board-note"
      aria-hidden="true"
      style={{ left, ...(below ? { top: hover.y * textScale + 20 } : { bottom: (size.height - hover.y) * textScale + 14 }) }}
    >
      <strong>{bar.title}</strong>
      <span>{cellName(model, bar).replace(`${bar.number} ${bar.order.name}. `, "")}</span>
      {bar.operation.name !== bar.order.name ? <span className="quiet">{bar.operation.name}</span> : null}
    </div>
  );
}
