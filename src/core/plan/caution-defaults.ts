/**
 * The cautions that a shop is offered before it has written its own: what to go through before unattended, high-voltage, rotating
 * and wire-cut work. Which machines and supplies are meant is guessed from their words and kind, and shown for correction; a guess
 * proves nothing. Points to record follow the subjects of ISO 28881:2022 (spark erosion), EN 50191:2010 (test installations) and
 * IEC 60204-1 6.2.4 (residual voltage); the wording is ours and replaces neither those texts nor local rules.
 */
import type { Machine } from "../plant/machine.ts";
import type { Supply } from "../plant/supply.ts";
import type { Problem } from "../problem/problem.ts";
import type { CautionRule } from "./cautions.ts";

const WIRE_CUT = /\b(wire[- ]?cut|wire[- ]?edm|edm|spark|erosion|eroder)/i;
const VOLTAGE = /\b(dc|hv|high[- ]voltage|inverter|battery|hipot|insulation|surge|withstand)\b/i;
const ROTATING = /\b(dyno|dynamometer|spin|over-?speed|balanc\w*|durability|endurance|rotor)\b/i;
const POWER_UNIT = /^(kW|kVA|A|V)$/;

export function proposedCautions(problem: Pick<Problem, "machines" | "supplies">): readonly CautionRule[] {
  const named = (words: RegExp) => (machine: Pick<Machine, "name" | "group">) => words.test(`${machine.name} ${machine.group}`);
  const machines = (words: RegExp): string[] => problem.machines.filter(named(words)).map(({ id }) => id);
  const electric = ({ name, unit }: Supply): boolean => VOLTAGE.test(name) && POWER_UNIT.test(unit);
  const rules: readonly CautionRule[] = [
    {
      ...{ id: "unattended", title: "Machines running with nobody on site", alone: true, machines: [], supplies: [] },
      items: [
        "A responsible person has allowed this work to run unattended, in writing and in date, for this machine and this job.",
        "Fire detection and suppression are in working order and switched on; combustibles are cleared away.",
        "Guards and door interlocks are closed and work; emergency stop and safe stop on a fault have been tried.",
        "Level, temperature, flow and overload cut-outs are set for this job.",
        "The remote alarm reaches a named person who can come, and the time it may run is set.",
      ],
    },
    {
      ...{ id: "wire-cut", title: "Wire-cut work with nobody on site", alone: true, machines: machines(WIRE_CUT), supplies: [] },
      items: [
        "The work stays submerged, nozzles and diffusers are in place, and the level cut-out has been tried.",
        "Wire on the spool is enough for the whole cut with a margin; the number of threading attempts is limited.",
        "Slugs are held, or their cut comes while somebody is there.",
        "Dielectric, filter and deioniser last beyond the run; the leak tray and the bin for cores are empty.",
      ],
    },
    {
      ...{ id: "high-voltage", title: "High voltage and stored energy", alone: false },
      ...{ machines: machines(VOLTAGE), supplies: problem.supplies.filter(electric).map(({ id }) => id) },
      items: [
        "Only people who are qualified and authorised here connect, switch and disconnect; the two-person rule of the site is kept.",
        "The cell is closed, its door interlock drops the supply, and the emergency stops inside and outside have been tried.",
        "Before touching: switched off, secured, the discharge wait on the label kept, and absence of voltage measured. Time alone proves nothing.",
        "Insulation monitor, limits of current and voltage, and the stop on loss of communication are set for this article.",
        "Withstand and insulation tests are never left unattended.",
      ],
    },
    {
      ...{ id: "rotating", title: "Rotating rigs", alone: false, machines: machines(ROTATING), supplies: [] },
      items: [
        "Guards and couplings are fitted, fasteners are tightened and checked by a second person.",
        "Over-speed, torque and vibration trips are set below the limits of article, coupling and rig.",
        "Nobody stands in the plane of rotation; burst containment fits the speed of this test.",
        "What the rig does when the other drive trips or the supply fails has been settled.",
        "Calibration of torque and speed is in date, and zero has been taken unloaded.",
      ],
    },
  ];
  return rules.filter((rule) => rule.id === "unattended" || rule.machines.length + rule.supplies.length > 0);
}
