/**
 * The width that a drawing has to fill, in its own pixels: with text at 200 % half as many of them, each twice as large, so that
 * everything in it grows along.
 */
import { type RefObject, useLayoutEffect, useState } from "react";

const textScale = (): number => (Number.parseFloat(getComputedStyle(document.documentElement).fontSize) || 16) / 16;

export function useWidth(element: RefObject<HTMLElement | null>, initial: number): number {
  const [width, setWidth] = useState(initial);
  useLayoutEffect(() => {
    const watched = element.current;
    if (!watched) return;
    const take = (pixels: number): void => {
      if (pixels > 0) setWidth(Math.floor(pixels / textScale()));
    };
    // At once, so that the first drawing has its size; the observer follows later changes.
    take(watched.clientWidth);
    const observer = new ResizeObserver(([entry]) => {
      if (entry) take(entry.contentRect.width);
    });
    observer.observe(watched);
    return () => observer.disconnect();
  }, [element]);
  return width;
}
