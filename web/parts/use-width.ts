/** The width an element has on screen, for drawings that fill it. */
import { type RefObject, useLayoutEffect, useState } from "react";

export function useWidth(element: RefObject<HTMLElement | null>, initial: number): number {
  const [width, setWidth] = useState(initial);
  useLayoutEffect(() => {
    const watched = element.current;
    if (!watched) return;
    // At once, so that the first drawing has its size; the observer follows later changes.
    if (watched.clientWidth > 0) setWidth(watched.clientWidth);
    const observer = new ResizeObserver(([entry]) => {
      if (entry && entry.contentRect.width > 0) setWidth(Math.floor(entry.contentRect.width));
    });
    observer.observe(watched);
    return () => observer.disconnect();
  }, [element]);
  return width;
}
