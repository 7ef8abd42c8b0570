/** Languages the screens speak. A further one adds its code here, a file beside en.ts of type Words, and an entry in words.ts. */
export const LANGUAGES = ["en"] as const;
export type Language = (typeof LANGUAGES)[number];
