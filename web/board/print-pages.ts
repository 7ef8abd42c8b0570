/** Rows of the board on sheets of paper: as many as fit, none cut, no group heading alone at the foot of a sheet. Pure. */
import type { Lanes } from "./lanes.ts";

/** From the top of its first row to below its last one. */
export type PrintPage = { readonly top: number; readonly bottom: number };

export function printPages(lanes: Lanes, tops: readonly number[], room: number): readonly PrintPage[] {
  const count = lanes.list.length;
  const pages: PrintPage[] = [];
  let first = 0;
  while (first < count) {
    const top = tops[first] ?? 0;
    let last = first;
    while (last + 1 < count && (tops[last + 2] ?? 0) - top <= room) last++;
    while (last > first && last + 1 < count && lanes.list[last]?.kind === "group") last--;
    pages.push({ top, bottom: tops[last + 1] ?? top });
    first = last + 1;
  }
  return pages.length > 0 ? pages : [{ top: 0, bottom: 0 }];
}
