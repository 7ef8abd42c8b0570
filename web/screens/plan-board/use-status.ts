/** The one polite voice of the board: verdicts while moving come in a stream, and a voice needs whole ones. */
import { useCallback, useRef, useState } from "react";

const SAY_EVERY_MS = 150;

export function useStatus(): readonly [string, (text: string) => void] {
  const [text, setText] = useState("");
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const say = useCallback((next: string): void => {
    clearTimeout(timer.current);
    timer.current = setTimeout(() => setText(next), SAY_EVERY_MS);
  }, []);
  return [text, say];
}
