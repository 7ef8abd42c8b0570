/** The locale of numbers and dates: the browser's, when its language is one the screens speak; else British English. */
import { LANGUAGES } from "../words/languages.ts";

const wanted = typeof navigator === "undefined" ? "en-GB" : navigator.language;

export const LANGUAGE = LANGUAGES.find((language) => wanted.toLowerCase().startsWith(language)) ?? "en";
export const LOCALE = wanted.toLowerCase().startsWith(LANGUAGE) ? wanted : "en-GB";
