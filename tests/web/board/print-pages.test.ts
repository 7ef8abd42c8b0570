/** Rows on sheets: every row on exactly one, none cut, no heading left alone. */
import { expect, test } from "vitest";
import { lanesOf, laneTops } from "../../../web/board/lanes.ts";
import { printPages } from "../../../web/board/print-pages.ts";
import { machine } from "../../core/check/shop.ts";

const lanes = lanesOf(
  Array.from({ length: 40 }, (_, i) => machine(`m${i}`, { group: `Group ${Math.floor(i / 7)}` })),
  2,
);
const tops = laneTops(lanes, "normal");

test.each([120, 300, 800, 5000])(
  "with room for %d pixels the sheets hold each row once and end no sheet with a heading",
  (room) => {
    const pages = printPages(lanes, tops, room);
    expect(pages[0]?.top).toBe(0);
    expect(pages.at(-1)?.bottom).toBe(tops.at(-1));
    for (const [i, { top, bottom }] of pages.entries()) {
      expect(bottom - top).toBeLessThanOrEqual(room);
      expect(tops).toContain(top);
      if (i > 0) expect(top).toBe(pages[i - 1]?.bottom);
      if (i < pages.length - 1) expect(lanes.list[tops.indexOf(bottom) - 1]?.kind).not.toBe("group");
    }
  },
);
