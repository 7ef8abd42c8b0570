/**
 * What every duration estimator is made of: named inputs with units and ranges, a readable working, three points.
 * An estimator is pure arithmetic on its inputs; rates and factors are the shop's own, editable data, and defaults that are
 * trade practice say so. Durations here are seconds as real numbers; only `minutesOf` rounds, always up, when an estimate
 * becomes the work of a phase. An estimate plans time. It says nothing about whether a test or a cut is safe to run.
 */
import { err, type Fault, ok, type Result } from "../ground/result.ts";

export type InputField = {
  /** Carries its unit: `heightMm`, `rampKelvinPerMinute`. */
  readonly name: string;
  readonly label: string;
  readonly unit: string;
  readonly least: number;
  readonly most: number;
  readonly whole?: boolean;
  /** Used when left out; null: must be given. */
  readonly fallback: number | null;
};

/** One line of the working: what, how computed, how long. */
export type WorkingLine = { readonly label: string; readonly formula: string; readonly seconds: number };

export type Estimate = {
  readonly working: readonly WorkingLine[];
  /** Figures on the way that people ask for (spindle speed, remaining rise), with unit. */
  readonly figures: readonly { readonly label: string; readonly value: number; readonly unit: string }[];
  readonly bestSeconds: number;
  readonly likelySeconds: number;
  readonly worstSeconds: number;
};

export type Estimator = {
  readonly kind: string;
  readonly title: string;
  /** Where the formula comes from. */
  readonly source: string;
  readonly fields: readonly InputField[];
  readonly estimate: (inputs: Readonly<Record<string, number>>) => Result<Estimate, readonly Fault[]>;
};

type Values<Names extends string> = Readonly<Record<Names, number>>;

/** Figures and working as an estimator computes them; the three points follow from the spread. */
export type Worked = {
  readonly working: readonly WorkingLine[];
  readonly figures?: Estimate["figures"];
  /** Multipliers of the likely total; left out: 0.9 and 1.3 (common practice, no source). */
  readonly bestFactor?: number;
  readonly worstFactor?: number;
};

/** Builds an estimator that refuses unknown, missing, out-of-range and non-whole inputs, all at once, each with its range. */
export function defineEstimator<const Fields extends readonly InputField[]>(definition: {
  readonly kind: string;
  readonly title: string;
  readonly source: string;
  readonly fields: Fields;
  readonly work: (values: Values<Fields[number]["name"]>) => Worked | Fault;
}): Estimator {
  const { kind, title, source, fields } = definition;
  return {
    kind,
    title,
    source,
    fields,
    estimate: (inputs) => {
      const values: Record<string, number> = {};
      const faults: Fault[] = [];
      for (const name of Object.keys(inputs))
        if (!fields.some((field) => field.name === name))
          faults.push({
            at: name,
            message: `is not an input of ${kind}; its inputs are ${fields.map((field) => field.name).join(", ")}`,
          });
      for (const field of fields) {
        const given = inputs[field.name] ?? field.fallback;
        const range =
          `expected ${field.whole ? "a whole number" : "a number"} from ${field.least} to ${field.most} ${field.unit}`.trim();
        if (
          given === null ||
          typeof given !== "number" ||
          !Number.isFinite(given) ||
          given < field.least ||
          given > field.most ||
          (field.whole === true && !Number.isInteger(given))
        )
          faults.push({ at: field.name, message: `${given === null ? "is missing" : `is ${given}`}: ${range}` });
        else values[field.name] = given;
      }
      if (faults.length > 0) return err(faults);
      const worked = definition.work(values as Values<Fields[number]["name"]>);
      if ("message" in worked) return err([worked]);
      const likelySeconds = worked.working.reduce((sum, line) => sum + line.seconds, 0);
      return ok({
        working: worked.working,
        figures: worked.figures ?? [],
        bestSeconds: likelySeconds * (worked.bestFactor ?? 0.9),
        likelySeconds,
        worstSeconds: likelySeconds * (worked.worstFactor ?? 1.3),
      });
    },
  };
}

/** Whole planning minutes, rounded up; a tolerance of a millisecond keeps 540.0000001 min from becoming 541. */
export const minutesOf = (seconds: number): number => Math.ceil((seconds - 0.001) / 60);
