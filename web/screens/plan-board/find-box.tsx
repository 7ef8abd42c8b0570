/** Find: a canvas has no find-in-page, so this searches orders, operations and machines and brings them into view. */
import { useState } from "react";
import { type Found, search } from "../../board/search.ts";
import { words } from "../../words/words.ts";
import type { BoardController } from "./board-controller.ts";
import { useBoard } from "./use-board.ts";

type FindBoxProps = {
  readonly controller: BoardController;
  readonly box: React.RefObject<HTMLInputElement | null>;
  readonly onFound: (found: Found) => void;
  readonly onLeave: () => void;
};

export function FindBox({ controller, box, onFound, onLeave }: FindBoxProps) {
  const model = useBoard(controller, "model");
  const [text, setText] = useState("");
  const [at, setAt] = useState(0);
  const found = search(model, text);
  const take = (one: Found | undefined): void => {
    if (!one) return;
    setText("");
    onFound(one);
  };
  return (
    <div className="board-find">
      <input
        ref={box}
        type="search"
        role="combobox"
        aria-expanded={text !== ""}
        aria-controls="board-found"
        aria-label={words.board.find.label}
        aria-keyshortcuts="/"
        {...(found[at] ? { "aria-activedescendant": `found-${at}` } : {})}
        placeholder={words.board.tools.find}
        value={text}
        onChange={(event) => {
          setText(event.target.value);
          setAt(0);
        }}
        onKeyDown={(event) => {
          if (event.key === "ArrowDown") setAt(Math.min(at + 1, found.length - 1));
          else if (event.key === "ArrowUp") setAt(Math.max(at - 1, 0));
          else if (event.key === "Enter") take(found[at]);
          else if (event.key === "Escape") {
            setText("");
            onLeave();
          } else return;
          event.preventDefault();
        }}
      />
      {text === "" ? null : (
        <div role="listbox" id="board-found" className="board-found" aria-label={words.board.find.label}>
          {found.length === 0 ? <p className="quiet">{words.board.find.none}</p> : null}
          {found.map((one, i) => (
            // biome-ignore lint/a11y/useKeyWithClickEvents: keys are handled by the combobox that owns the list
            <div
              role="option"
              tabIndex={-1}
              id={`found-${i}`}
              key={`${one.kind}-${one.id}`}
              aria-selected={i === at}
              onClick={() => take(one)}
            >
              <span>{one.text}</span>
              <small>
                {one.kind === "operation"
                  ? one.start === null
                    ? words.board.find.notOnBoard
                    : model.shop.time.short(one.start)
                  : ""}
              </small>
            </div>
          ))}
        </div>
      )}
    </div>
  );
}
