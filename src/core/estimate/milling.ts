/**
 * Milling: one pass from cutting data, and a batch from its cycle time.
 * Source of the pass: n = 1000 vc / (pi D), vf = fz z n, time = path / vf (tool makers' formula pages, e.g. Sandvik Coromant,
 * Milling formulas and definitions). Batch: pieces to start = ceil(good / (1 - scrap)), then setup + pieces x cycle + first-article
 * check (common practice, no source).
 */
import { piecesToStart } from "../orders/order.ts";
import { defineEstimator } from "./estimate.ts";

export const millingPass = defineEstimator({
  kind: "milling-pass",
  title: "Milling, passes from cutting data",
  source: "n = 1000 vc / (pi D); vf = fz z n; time = path / vf (tool makers' formula pages)",
  fields: [
    { name: "cutterDiameterMm", label: "Cutter diameter", unit: "mm", least: 0.1, most: 1000, fallback: null },
    { name: "cuttingSpeedMetresPerMinute", label: "Cutting speed", unit: "m/min", least: 1, most: 5000, fallback: null },
    { name: "teeth", label: "Teeth", unit: "", least: 1, most: 100, whole: true, fallback: null },
    { name: "feedPerToothMm", label: "Feed per tooth", unit: "mm", least: 0.001, most: 5, fallback: null },
    {
      name: "pathMm",
      label: "Path of a pass, run-in and run-out included",
      unit: "mm",
      least: 0.1,
      most: 100_000,
      fallback: null,
    },
    { name: "passes", label: "Passes", unit: "", least: 1, most: 10_000, whole: true, fallback: 1 },
    { name: "airMovesPercent", label: "Air moves", unit: "% of cutting", least: 0, most: 200, fallback: 0 },
  ],
  work: (v) => {
    const revolutions = (1000 * v.cuttingSpeedMetresPerMinute) / (Math.PI * v.cutterDiameterMm);
    const feed = v.feedPerToothMm * v.teeth * revolutions;
    const cutting = (60 * v.passes * v.pathMm) / feed;
    return {
      working: [
        { label: "Cutting", formula: `${v.passes} x ${v.pathMm} mm / ${feed.toFixed(1)} mm/min`, seconds: cutting },
        { label: "Air moves", formula: `${v.airMovesPercent} % of cutting`, seconds: (cutting * v.airMovesPercent) / 100 },
      ],
      figures: [
        { label: "Spindle speed", value: revolutions, unit: "1/min" },
        { label: "Table feed", value: feed, unit: "mm/min" },
      ],
    };
  },
});

export const batch = defineEstimator({
  kind: "batch",
  title: "Batch from its cycle time",
  source: "setup + pieces to start x cycle + first-article check (common practice, no source)",
  fields: [
    { name: "goodPieces", label: "Good pieces wanted", unit: "", least: 1, most: 1_000_000, whole: true, fallback: null },
    { name: "scrapPerMille", label: "Scrap", unit: "per mille", least: 0, most: 900, whole: true, fallback: 0 },
    { name: "setupMinutes", label: "Setup", unit: "min", least: 0, most: 10_000, fallback: 0 },
    { name: "cycleSeconds", label: "Cycle with loading", unit: "s", least: 1, most: 1_000_000, fallback: null },
    { name: "firstArticleMinutes", label: "First-article check", unit: "min", least: 0, most: 10_000, fallback: 0 },
  ],
  work: (v) => {
    const pieces = piecesToStart(v.goodPieces, v.scrapPerMille);
    return {
      working: [
        { label: "Setup", formula: `${v.setupMinutes} min`, seconds: 60 * v.setupMinutes },
        { label: "Pieces", formula: `${pieces} x ${v.cycleSeconds} s`, seconds: pieces * v.cycleSeconds },
        { label: "First-article check", formula: `${v.firstArticleMinutes} min`, seconds: 60 * v.firstArticleMinutes },
      ],
      figures: [{ label: "Pieces to start", value: pieces, unit: "" }],
    };
  },
});
