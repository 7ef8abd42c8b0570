/** The colours of the drawing: those of the theme, or the system's own where the reader has forced them. */
import { useMemo, useSyncExternalStore } from "react";
import { forcedPalette, type Palette, themePalette } from "../../board/paint/palette.ts";
import { useTheme } from "../../shell/theme.ts";

const forcedColours = window.matchMedia("(forced-colors: active)");
const subscribeForced = (listener: () => void): (() => void) => {
  forcedColours.addEventListener("change", listener);
  return () => forcedColours.removeEventListener("change", listener);
};

export function usePalette(): Palette {
  const theme = useTheme();
  const forced = useSyncExternalStore(subscribeForced, () => forcedColours.matches);
  return useMemo(() => (forced ? systemPalette() : themePalette(theme)), [theme, forced]);
}

/** The system's colours as this page sees them. */
function systemPalette(): Palette {
  const probe = document.createElement("span");
  probe.style.forcedColorAdjust = "none";
  document.body.append(probe);
  const palette = forcedPalette((name) => {
    probe.style.color = name;
    return getComputedStyle(probe).color;
  });
  probe.remove();
  return palette;
}
