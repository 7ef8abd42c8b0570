/**
 * The demo shop's plant: Larkfield Drives, an invented maker of small electric drives. Every name, number and person
 * here is made up; setup minutes and rates are invented figures of a plausible size, not advice.
 * The unattended rules stand for what this invented firm's responsible people recorded; a real shop records its own,
 * after local rules, the machine's manual and licensed practice.
 */
import { DateTime } from "luxon";
import type { z } from "zod";
import type { calendarSchema } from "../../src/contract/file/calendar-schema.ts";
import type {
  crewSchema,
  kitSchema,
  machineSchema,
  setupTableSchema,
  supplySchema,
} from "../../src/contract/file/plant-schema.ts";

/** Adds days to a YYYY-MM-DD date. */
export type DayOffset = (days: number) => string;

/** The first Saturday of the month after the given date, YYYY-MM-DD. */
function firstSaturday(date: string): string {
  const next = DateTime.fromISO(date, { zone: "UTC" }).plus({ months: 1 }).startOf("month");
  return next.plus({ days: (13 - next.weekday) % 7 }).toISODate() ?? date;
}

export const DEMO_ZONE = "Europe/Berlin";

export const demoCalendars = (day: DayOffset): z.input<typeof calendarSchema>[] => {
  // One works outing closes the shop on a Friday, so that a closed day is in view.
  const outing = [{ name: "Works outing", date: day(18), content: { closed: true as const } }];
  return [
    {
      id: "day-shift",
      name: "Day shift",
      notes: "Office hours of setters and test engineers.",
      weekly: [
        { name: "Day", days: [1, 2, 3, 4, 5], from: "07:00", until: "15:30", breaks: [{ from: "11:30", until: "12:00" }] },
      ],
      exceptions: outing,
    },
    {
      id: "early-shift",
      name: "Early shift",
      weekly: [
        { name: "Early", days: [1, 2, 3, 4, 5], from: "06:00", until: "14:00", breaks: [{ from: "09:30", until: "10:00" }] },
      ],
      exceptions: outing,
    },
    {
      id: "late-shift",
      name: "Late shift",
      weekly: [
        {
          name: "Late",
          days: [1, 2, 3, 4],
          from: "14:00",
          until: "22:00",
          breaks: [{ from: "18:00", until: "18:30" }],
          unsocial: true,
        },
        { name: "Late", days: [5], from: "14:00", until: "20:00", breaks: [{ from: "17:00", until: "17:30" }], unsocial: true },
      ],
      exceptions: outing,
    },
    {
      id: "alone-hours",
      name: "Hours in which machines may run alone",
      notes: "Recorded by the person responsible for the building. On the first Saturday of a month the fire alarm is tested.",
      weekly: [{ days: [1, 2, 3, 4, 5, 6, 7], from: "00:00", until: "24:00" }],
      recurring: [
        {
          name: "Fire alarm test",
          start: firstSaturday(day(-60)),
          every: 1,
          unit: "month",
          nth: 1,
          content: {
            entries: [
              { from: "00:00", until: "08:00" },
              { from: "12:00", until: "24:00" },
            ],
          },
        },
      ],
    },
    {
      id: "coater",
      name: "Coating works, open days",
      weekly: [{ days: [1, 2, 3, 4, 5], from: "00:00", until: "24:00" }],
    },
    {
      id: "chiller-service",
      name: "Chiller at half power",
      weekly: [{ days: [3], from: "08:00", until: "10:00" }],
    },
  ];
};

export const demoCrews = (day: DayOffset): z.input<typeof crewSchema>[] => [
  { id: "setters", name: "Setters", calendar: "day-shift", people: 200, skills: ["set-up", "milling", "turning"] },
  { id: "machinists-early", name: "Machinists, early", calendar: "early-shift", people: 200, skills: ["milling", "turning"] },
  {
    id: "machinists-late",
    name: "Machinists, late",
    calendar: "late-shift",
    people: 200,
    skills: ["set-up", "milling", "turning"],
  },
  {
    id: "wire",
    name: "Wire cutter",
    calendar: "day-shift",
    people: 100,
    skills: ["wire"],
    notes: "One person, so this crew is a person.",
  },
  {
    id: "fitters-early",
    name: "Fitters, early",
    calendar: "early-shift",
    people: 300,
    skills: ["assembly", "pressing", "winding"],
  },
  {
    id: "fitters-late",
    name: "Fitters, late",
    calendar: "late-shift",
    people: 100,
    skills: ["assembly", "pressing", "balancing"],
    absences: [{ start: `${day(9)}T14:00`, end: `${day(9)}T22:00`, people: null, reason: "Training day" }],
  },
  { id: "test-day", name: "Test engineers", calendar: "day-shift", people: 200, skills: ["testing", "calibration"] },
  { id: "test-late", name: "Rig operator, late", calendar: "late-shift", people: 100, skills: ["testing"] },
  { id: "maintenance", name: "Maintenance fitter", calendar: "day-shift", people: 100, skills: ["maintenance"] },
];

export const demoSetupTables: z.input<typeof setupTableSchema>[] = [
  {
    id: "fixtures",
    name: "Fixtures of the machining centres",
    families: ["vice", "tombstone", "rotary"],
    minutes: [
      [10, 50, 70],
      [45, 15, 60],
      [60, 55, 15],
    ],
  },
  {
    id: "wire-guides",
    name: "Wire diameter and guides",
    families: ["0.20 wire", "0.25 wire"],
    minutes: [
      [15, 75],
      [75, 15],
    ],
  },
  {
    id: "couplings",
    name: "Couplings and adapters of the dynos",
    families: ["small flange", "large flange", "back to back"],
    minutes: [
      [20, 90, 180],
      [90, 20, 180],
      [150, 150, 30],
    ],
  },
  {
    id: "press-tools",
    name: "Tools of the press",
    families: ["bearing", "rotor", "stator"],
    minutes: [
      [5, 35, 45],
      [35, 5, 40],
      [45, 40, 5],
    ],
  },
];

export const demoMachines = (day: DayOffset): z.input<typeof machineSchema>[] => {
  const alone = { kind: "allowed" as const, windows: "alone-hours" };
  const torque = (due: string) => [{ name: "torque", due, interval: 180 * 1440 }];
  const range = (name: string, unit: string, from: number, to: number) => ({ name, unit, from, to });
  const dyno = (torqueMost: number, speedMost: number, volts: number, power: number) => [
    range("torque", "N·m", 0, torqueMost),
    range("speed", "1/min", 0, speedMost),
    range("voltage", "V", 24, volts),
    range("power", "kW", 0, power),
  ];
  return [
    {
      id: "mill-1",
      name: "Mill 1, five axes",
      group: "Machining",
      setup: { kind: "table", table: "fixtures" },
      family: "vice",
      unattended: { ...alone, maxMinutes: 300 },
    },
    {
      id: "mill-2",
      name: "Mill 2, pallets",
      group: "Machining",
      setup: { kind: "table", table: "fixtures" },
      family: "tombstone",
      unattended: { ...alone, maxMinutes: 600 },
    },
    { id: "lathe", name: "Lathe", group: "Machining" },
    {
      id: "wire-cut",
      name: "Wire-cut machine",
      group: "Machining",
      setup: { kind: "table", table: "wire-guides" },
      family: "0.25 wire",
      unattended: alone,
    },
    { id: "winder", name: "Winding bench", group: "Assembly" },
    {
      id: "oven",
      name: "Curing oven",
      group: "Assembly",
      setup: { kind: "temperature", rampPerMinute: 2_000, settling: 10 },
      family: 23_000,
      unattended: alone,
    },
    {
      id: "press",
      name: "Press with force trace",
      group: "Assembly",
      setup: { kind: "table", table: "press-tools" },
      family: "bearing",
      calibrations: [{ name: "force", due: day(40), interval: 365 * 1440 }],
    },
    { id: "cell-1", name: "Assembly cell 1", group: "Assembly" },
    { id: "cell-2", name: "Assembly cell 2", group: "Assembly" },
    { id: "balancer", name: "Balancing machine", group: "Assembly" },
    {
      id: "dyno-1",
      name: "Dyno 1, 300 Nm",
      group: "Test rigs",
      kind: "rig",
      setup: { kind: "table", table: "couplings" },
      family: "small flange",
      unattended: alone,
      calibrations: torque(day(16)),
      abilities: [...dyno(300, 8_000, 800, 150), range("back to back", "", 1, 1)],
    },
    {
      id: "dyno-2",
      name: "Dyno 2, 300 Nm",
      group: "Test rigs",
      kind: "rig",
      setup: { kind: "table", table: "couplings" },
      family: "small flange",
      unattended: alone,
      calibrations: torque(day(120)),
      abilities: [...dyno(300, 12_000, 800, 120), range("back to back", "", 1, 1)],
    },
    {
      id: "dyno-3",
      name: "Dyno 3, end of line",
      group: "Test rigs",
      kind: "rig",
      setup: { kind: "table", table: "couplings" },
      family: "large flange",
      abilities: dyno(80, 6_000, 400, 60),
    },
    {
      id: "thermal",
      name: "Thermal fatigue rig",
      group: "Test rigs",
      kind: "rig",
      setup: { kind: "temperature", rampPerMinute: 3_000, settling: 30 },
      family: 23_000,
      unattended: alone,
      abilities: [range("temperature", "°C", -40, 180), range("ramp", "K/min", 0, 3), range("voltage", "V", 0, 60)],
    },
  ];
};

export const demoSupplies: z.input<typeof supplySchema>[] = [
  { id: "dc", name: "DC supply of the test field", unit: "kW", amount: 300 },
  { id: "water", name: "Chilled water", unit: "kW", amount: 120, changes: [{ calendar: "chiller-service", amount: 60 }] },
];

export const demoKits: z.input<typeof kitSchema>[] = [
  { id: "rotary-fixture", name: "Rotary fixture with probe", count: 1 },
  // One set each: the lots of a batch follow each other, though two machines could do them side by side.
  ...["Kestrel 40", "Kestrel 25", "Wren 12", "Merlin 60"].flatMap((product) => {
    const key = product.toLowerCase().replace(" ", "-");
    return [
      { id: `fixture-${key}`, name: `Fixture set, ${product} housing`, count: 1 },
      { id: `jig-${key}`, name: `Assembly jig, ${product} motor`, count: 1 },
    ];
  }),
  { id: "torque-flange", name: "Large torque flange", count: 1 },
  { id: "sample-k40", name: "Sample motor Kestrel 40 no. 3", count: 1, notes: "The one motor that two campaigns want." },
];
