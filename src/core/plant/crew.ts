/** Crews: people who share a shift calendar and a set of skills. Headcounts in hundredths of a person. */

import type { Intervals } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import type { StepFunction } from "../calendar/step-function.ts";
import type { Flavour } from "../ground/flavour.ts";

export type CrewId = Flavour<string, "crew">;
export type Skill = Flavour<string, "skill">;

/** A named stretch of a shift, for screens; breaks included. */
export type Shift = { readonly name: string; readonly start: Minute; readonly end: Minute; readonly people: number };

export type Crew = {
  readonly id: CrewId;
  readonly name: string;
  readonly skills: readonly Skill[];
  /** People at work: 0 outside shifts and in breaks. */
  readonly headcount: StepFunction;
  /** Minutes in which the crew is in its shift, breaks included: "on site". */
  readonly present: Intervals;
  /** Minutes in shifts marked unsocial. */
  readonly unsocial: Intervals;
  /** For display. */
  readonly shifts: readonly Shift[];
};
