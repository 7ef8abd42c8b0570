/** Printing: the board as sharp pictures, a sheet each, or the lists; what is printed stands in the page only while the print goes out. */
import { useState } from "react";
import type { BoardController } from "./board-controller.ts";
import { printPictures } from "./print-board.ts";

/** The page needs a moment to lay out what it prints. */
const LAY_OUT_MS = 60;

export type Printing = {
  /** The sheets of the board, or the lists; null: nothing is being printed. */
  readonly print: { readonly kind: "board"; readonly sheets: readonly string[] } | { readonly kind: "lists" } | null;
  printBoard(): void;
  printLists(): void;
};

export function usePrinting(controller: BoardController): Printing {
  const [print, setPrint] = useState<Printing["print"]>(null);
  const out = (what: NonNullable<Printing["print"]>): void => {
    setPrint(what);
    setTimeout(() => {
      window.print();
      setPrint(null);
    }, LAY_OUT_MS);
  };
  return {
    print,
    printBoard: () => void printPictures(controller).then((sheets) => out({ kind: "board", sheets })),
    printLists: () => out({ kind: "lists" }),
  };
}
