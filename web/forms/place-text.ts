/** Where a fault of a form lies, in the words of its fields: "Operation 2 › Phase 1 › Duration". Pure. */
import { words } from "../words/words.ts";

const isIndex = (step: string | undefined): boolean => step !== undefined && /^\d+$/.test(step);

/** A JSON pointer (RFC 6901) of the contract as words; a name that people gave, such as that of a machine, stays as it is. */
export function placeText(pointer: string): string {
  const steps = pointer
    .split("/")
    .slice(1)
    .map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"));
  return steps
    .flatMap((step, i): readonly string[] => {
      const word = words.fields[step];
      // The number of an entry stands with the word of its list.
      if (isIndex(step)) return words.fields[steps[i - 1] ?? ""] === undefined ? [String(Number(step) + 1)] : [];
      if (word === undefined) return [step];
      const next = steps[i + 1];
      const [all, one] = typeof word === "string" ? [word, word] : word;
      return [isIndex(next) ? `${one} ${Number(next) + 1}` : all];
    })
    .join(" › ");
}
