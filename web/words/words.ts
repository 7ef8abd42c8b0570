/** The words of every screen in the reader's language. Screens hold no sentences of their own. */
import { LANGUAGE } from "../present/locale.ts";
import { en } from "./en.ts";
import type { Language } from "./languages.ts";

/** What a language must provide: same keys; where English has a function, a function of the same arguments. */
export type Words = typeof en;

const ALL: Readonly<Record<Language, Words>> = { en };

export const words: Words = ALL[LANGUAGE];
