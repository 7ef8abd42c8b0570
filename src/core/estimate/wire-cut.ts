/**
 * Wire cutting: rough cut by area rate, trim passes by area rate of their own, threading, slug stops, and wire spools.
 * Rough cut = cut length x height / area rate (rate form: published estimators). Wire on a spool: length = mass / (rho pi d^2 / 4),
 * rho of brass 8500 kg/m3. Threading and stop minutes, derating by height: common practice, no source.
 */
import { defineEstimator } from "./estimate.ts";

const BRASS_KG_PER_M3 = 8500;

/** Metres of wire in `spoolKg` of a wire of `diameterMm`. */
export const spoolMetres = (spoolKg: number, diameterMm: number): number =>
  spoolKg / (BRASS_KG_PER_M3 * Math.PI * (diameterMm / 2000) ** 2);

/** Hours a spool lasts at a wire speed. */
export const spoolHours = (spoolKg: number, diameterMm: number, metresPerMinute: number): number =>
  spoolMetres(spoolKg, diameterMm) / metresPerMinute / 60;

export const wireCut = defineEstimator({
  kind: "wire-cut",
  title: "Wire cutting",
  source: "length x height / area rate, each trim at its own rate; threading, stops and spool changes (rates: the shop's own)",
  fields: [
    { name: "cutLengthMm", label: "Cut length", unit: "mm", least: 0.1, most: 1_000_000, fallback: null },
    { name: "leadInMm", label: "Lead-in", unit: "mm", least: 0, most: 1000, fallback: 0 },
    { name: "heightMm", label: "Height of the part or stack", unit: "mm", least: 0.1, most: 600, fallback: null },
    { name: "roughMm2PerMinute", label: "Area rate, rough", unit: "mm2/min", least: 2, most: 400, fallback: 150 },
    { name: "trims", label: "Trim passes", unit: "", least: 0, most: 12, whole: true, fallback: 0 },
    { name: "trimMm2PerMinute", label: "Area rate, trims", unit: "mm2/min", least: 2, most: 1000, fallback: 250 },
    { name: "threadings", label: "Threadings", unit: "", least: 0, most: 10_000, whole: true, fallback: 1 },
    { name: "threadingSeconds", label: "Each threading", unit: "s", least: 0, most: 3600, fallback: 90 },
    { name: "slugStops", label: "Slug stops", unit: "", least: 0, most: 1000, whole: true, fallback: 0 },
    { name: "slugStopMinutes", label: "Each slug stop, attended", unit: "min", least: 0, most: 240, fallback: 10 },
    { name: "setUps", label: "Set-ups of the stack", unit: "", least: 1, most: 1000, whole: true, fallback: 1 },
    { name: "setUpMinutes", label: "Each set-up", unit: "min", least: 0, most: 1000, fallback: 0 },
    { name: "spoolKg", label: "Wire on a spool", unit: "kg", least: 0.5, most: 100, fallback: 8 },
    { name: "wireDiameterMm", label: "Wire diameter", unit: "mm", least: 0.02, most: 0.5, fallback: 0.25 },
    { name: "wireMetresPerMinute", label: "Wire speed", unit: "m/min", least: 0.5, most: 40, fallback: 10 },
    { name: "spoolChangeMinutes", label: "Each spool change", unit: "min", least: 0, most: 240, fallback: 15 },
  ],
  work: (v) => {
    const area = (v.cutLengthMm + v.leadInMm) * v.heightMm;
    const rough = (60 * area) / v.roughMm2PerMinute;
    const trims = (60 * v.trims * area) / v.trimMm2PerMinute;
    const cutting = (rough + trims) * v.setUps;
    const hours = spoolHours(v.spoolKg, v.wireDiameterMm, v.wireMetresPerMinute);
    const changes = Math.max(0, Math.ceil(cutting / 3600 / hours) - 1);
    return {
      working: [
        { label: "Set-ups", formula: `${v.setUps} x ${v.setUpMinutes} min`, seconds: 60 * v.setUps * v.setUpMinutes },
        {
          label: "Rough cut",
          formula: `${v.setUps} x ${area.toFixed(0)} mm2 / ${v.roughMm2PerMinute} mm2/min`,
          seconds: rough * v.setUps,
        },
        {
          label: "Trim passes",
          formula: `${v.setUps} x ${v.trims} x ${area.toFixed(0)} mm2 / ${v.trimMm2PerMinute} mm2/min`,
          seconds: trims * v.setUps,
        },
        {
          label: "Threading",
          formula: `${v.setUps} x ${v.threadings} x ${v.threadingSeconds} s`,
          seconds: v.setUps * v.threadings * v.threadingSeconds,
        },
        {
          label: "Slug stops",
          formula: `${v.setUps} x ${v.slugStops} x ${v.slugStopMinutes} min`,
          seconds: 60 * v.setUps * v.slugStops * v.slugStopMinutes,
        },
        {
          label: "Spool changes",
          formula: `${changes} x ${v.spoolChangeMinutes} min`,
          seconds: 60 * changes * v.spoolChangeMinutes,
        },
      ],
      figures: [
        { label: "A spool lasts", value: hours, unit: "h" },
        { label: "Spool changes", value: changes, unit: "" },
      ],
    };
  },
});
