/** Numbers as people read them: people from hundredths, scrap from per mille, counts and shares in local form. */
import { LOCALE } from "./locale.ts";

const plain = new Intl.NumberFormat(LOCALE, { maximumFractionDigits: 2 });
/** As wide as a plus; a hyphen is not, and may be where a line ends. */
const MINUS = "\u2212";
const withMinus = (text: string): string => text.replace("-", MINUS);

export const numberText = (value: number): string => withMinus(plain.format(value));
/** A difference, always with its sign: +3, −3, 0. */
export const signedText = (value: number): string => (value > 0 ? `+${numberText(value)}` : numberText(value));
/** 83 -> 83 %: a unit like any other, a space before it that never ends a line. */
export const percentText = (percent: number): string => `${numberText(percent)}\u00a0%`;
/** 0.83 -> 83 %. */
export const shareText = (value: number): string => percentText(Math.round(value * 100));
/** A share of simulated courses: what happened at all is never rounded to never, nor what failed once to always. */
export const chanceText = (value: number): string =>
  value > 0 && value < 0.005 ? `< ${percentText(1)}` : value < 1 && value >= 0.995 ? `> ${percentText(99)}` : shareText(value);
/** Hundredths of a person: 150 -> 1.5. */
export const peopleText = (hundredths: number): string => plain.format(hundredths / 100);

/** A decimal as typed, with point or comma, times `scale`, when that is whole; else null. */
export function parseScaled(text: string, scale: number): number | null {
  const clean = text.trim().replace(",", ".");
  if (!/^-?\d+(\.\d+)?$/.test(clean)) return null;
  const value = Number(clean) * scale;
  const whole = Math.round(value);
  return Math.abs(value - whole) < 1e-6 ? whole : null;
}
/** A decimal as typed, with point or comma. */
export function parseDecimal(text: string): number | null {
  const clean = text.trim().replace(",", ".");
  return /^-?\d+(\.\d+)?$/.test(clean) ? Number(clean) : null;
}
/** For input fields: shortest decimal with a point, no grouping. */
export const scaledText = (value: number, scale: number): string => String(value / scale);

/** Hours with one decimal, without the unit: for long sums, where days would hide what they are made of. */
export const hoursText = (minutes: number): string => numberText(Math.round(minutes / 6) / 10);

/** An amount in whole units of the shop's currency. */
export const moneyText = (amount: number, currency: string): string =>
  withMinus(new Intl.NumberFormat(LOCALE, { style: "currency", currency, maximumFractionDigits: 0 }).format(amount));
/** A difference in money, always with its sign. */
export const signedMoneyText = (amount: number, currency: string): string =>
  withMinus(
    new Intl.NumberFormat(LOCALE, {
      ...{ style: "currency", currency, maximumFractionDigits: 0, signDisplay: "exceptZero" },
    }).format(amount),
  );

/** A figure and what belongs to it, kept on one line. */
export const unbroken = (text: string): string => text.replaceAll(" ", "\u00a0");
