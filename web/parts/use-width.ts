/** The width an element has on screen, for drawings that fill it. */
import { type RefObject, useEffect, useState } from "react";

export function useWidth(element: RefObject<HTMLElement | null>, initial: number): number {
  const [width, setWidth] = useState(initial);
  useEffect(() => {
    const watched = element.current;
    if (!watched) return;
    const observer = new ResizeObserver(([entry]) => {
      if (entry && entry.contentRect.width > 0) setWidth(Math.floor(entry.contentRect.width));
    });
    observer.observe(watched);
    return () => observer.disconnect();
  }, [element]);
  return width;
}
