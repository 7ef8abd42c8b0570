/** Machines and rigs: one operation at a time, with opening times, setup state, unattended rule and calibration. */

import type { Intervals } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import type { Flavour } from "../ground/flavour.ts";
import type { Ability } from "./ability.ts";
import type { Family, SetupRule } from "./setup.ts";

export type MachineId = Flavour<string, "machine">;

/** When a phase that needs nobody may work though nobody is on site. */
export type UnattendedRule =
  | { readonly kind: "never" }
  | {
      readonly kind: "allowed";
      /** null: at any time. */
      readonly windows: Intervals | null;
      /** Fewer than this many minutes may have passed since the site emptied; null: no limit. */
      readonly maxMinutes: Minute | null;
    };

/** Valid while an operation ends at or before `due`; a calibration operation ending at e moves it to e + interval. */
export type Calibration = { readonly name: string; readonly due: Minute; readonly interval: Minute };

export type Closure = { readonly start: Minute; readonly end: Minute; readonly reason: string };

export type Machine = {
  readonly id: MachineId;
  readonly name: string;
  /** Work centre: the heading under which screens list it. */
  readonly group: string;
  readonly kind: "machine" | "rig";
  /** Open minutes: the opening calendar less the closures. */
  readonly open: Intervals;
  /** For display only; already taken out of `open`. */
  readonly closures: readonly Closure[];
  readonly setup: SetupRule;
  /** The family the machine stands in at the origin; null: none, the first setup is free. */
  readonly family: Family | null;
  readonly unattended: UnattendedRule;
  readonly calibrations: readonly Calibration[];
  /** What it can do, for choosing rigs; planning itself does not look at them. */
  readonly abilities: readonly Ability[];
};
