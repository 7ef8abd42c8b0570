/**
 * axe-core on what a page shows now, and which rules count: WCAG 2.2, A and AA (W3C Recommendation of 5 October 2023).
 * Legacy mode: no page of ours has frames, so the second page that would join the findings of frames is not opened.
 */
import AxeBuilder from "@axe-core/playwright";
import type { Page } from "playwright-core";

export const WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

/** Only violations are described node by node: describing everything that passes takes longer than looking. */
export const axe = (page: Page): AxeBuilder => new AxeBuilder({ page }).setLegacyMode().options({ resultTypes: ["violations"] });
