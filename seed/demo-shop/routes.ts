/**
 * Routes of the demo shop: what each kind of order goes through. Invented, like everything in this folder.
 * Each function returns the operations and links of one order; ids are the order's number and the operation's.
 */
import type { z } from "zod";
import type { linkSchema } from "../../src/contract/file/link-schema.ts";
import type { operationSchema, phaseSchema } from "../../src/contract/file/order-schema.ts";

type OperationInput = z.input<typeof operationSchema>;
type PhaseInput = z.input<typeof phaseSchema>;
export type LinkInput = z.input<typeof linkSchema>;
export type Route = { readonly operations: OperationInput[]; readonly links: LinkInput[] };

const people = (skill: string, amount = 100) => [{ skill, amount }];
const fixed = (minutes: number) => ({ kind: "fixed" as const, minutes });
const perPiece = (minutes: number) => ({ kind: "perPiece" as const, seconds: Math.round(minutes * 60) });

const prepare = (minutes: number, skill: string): PhaseInput => ({
  kind: "prepare",
  flow: "pausable",
  work: fixed(minutes),
  needs: people(skill),
});
const clear = (minutes: number, skill: string): PhaseInput => ({
  kind: "clear",
  flow: "solid",
  work: fixed(minutes),
  needs: people(skill),
});

/** Links the operations one after the other. */
const chain = (
  order: string,
  operations: OperationInput[],
  lags: Record<number, { minLag?: number; maxLag?: number | null }> = {},
): Route => ({
  operations,
  links: operations.slice(1).map((operation, i) => ({
    kind: "lag" as const,
    id: `${order}-link-${i + 1}`,
    from: (operations[i] as OperationInput).id,
    to: operation.id,
    ...lags[i + 1],
  })),
});

const milled = (
  id: string,
  name: string,
  minutesEach: number,
  family: string,
  more: Partial<OperationInput> = {},
): OperationInput => ({
  id,
  name,
  prepareEarly: true,
  modes: [
    {
      id: "mill-1",
      machines: ["mill-1"],
      families: [family],
      phases: [
        prepare(15, "set-up"),
        { kind: "run", flow: "piecewise", work: perPiece(minutesEach), needs: people("milling", 50) },
        clear(10, "milling"),
      ],
    },
    {
      id: "mill-2",
      machines: ["mill-2"],
      families: [family],
      phases: [
        prepare(20, "set-up"),
        { kind: "run", flow: "piecewise", work: perPiece(minutesEach * 1.2), needs: [] },
        clear(15, "milling"),
      ],
    },
  ],
  selfStart: true,
  ...more,
});

/** Housings: milled, coated outside, bearings pressed in. */
export const housingRoute = (order: string, minutesEach: number, coated: boolean, fixture: string): Route =>
  chain(
    order,
    [
      milled(`${order}/10`, "Mill housing", minutesEach, "tombstone", {
        split: { lots: 2, minPieces: 8 },
        kits: [{ kit: fixture }],
      }),
      ...(coated
        ? [
            {
              id: `${order}/20`,
              name: "Coating, outside",
              modes: [
                {
                  id: "outside",
                  calendar: "coater",
                  phases: [{ kind: "run" as const, flow: "pausable" as const, work: fixed(5 * 1440) }],
                },
              ],
            },
          ]
        : []),
      {
        id: `${order}/30`,
        name: "Press bearings",
        prepareEarly: true,
        needsCalibrations: ["force"],
        modes: [
          {
            id: "press",
            machines: ["press"],
            families: ["bearing"],
            phases: [prepare(10, "pressing"), { kind: "run", flow: "piecewise", work: perPiece(7), needs: people("pressing") }],
          },
        ],
      },
    ],
    {},
  );

/** Rotor shafts: turned and, piece by piece behind it, milled; balanced at the end. */
export const shaftRoute = (order: string, turnMinutes: number, millMinutes: number): Route => {
  const operations: OperationInput[] = [
    {
      id: `${order}/10`,
      name: "Turn shaft",
      modes: [
        {
          id: "lathe",
          machines: ["lathe"],
          phases: [
            prepare(25, "turning"),
            { kind: "run", flow: "piecewise", work: perPiece(turnMinutes), needs: people("turning") },
          ],
        },
      ],
    },
    milled(`${order}/20`, "Mill keyway", millMinutes, "vice", { prepareEarly: false, kits: [] }),
    {
      id: `${order}/30`,
      name: "Balance rotor",
      modes: [
        {
          id: "balancer",
          machines: ["balancer"],
          phases: [prepare(20, "assembly"), { kind: "run", flow: "piecewise", work: perPiece(14), needs: people("assembly") }],
        },
        {
          id: "balancer-late",
          machines: ["balancer"],
          phases: [prepare(15, "balancing"), { kind: "run", flow: "piecewise", work: perPiece(12), needs: people("balancing") }],
        },
      ],
    },
  ];
  return {
    operations,
    links: [
      { kind: "transfer", id: `${order}-link-1`, from: `${order}/10`, to: `${order}/20`, pieces: 6 },
      { kind: "lag", id: `${order}-link-2`, from: `${order}/20`, to: `${order}/30` },
    ],
  };
};

/** A stator stack cut from sheet: long runs alone, then winding, resin and oven. */
export const statorRoute = (order: string, cutMinutes: number, wire: "0.20 wire" | "0.25 wire", windMinutes: number): Route =>
  chain(
    order,
    [
      {
        id: `${order}/10`,
        name: "Cut stator stack",
        prepareEarly: true,
        modes: [
          {
            id: "wire-cut",
            machines: ["wire-cut"],
            families: [wire],
            phases: [prepare(40, "wire"), { kind: "run", flow: "solid", work: fixed(cutMinutes) }, clear(25, "wire")],
          },
        ],
      },
      {
        id: `${order}/20`,
        name: "Wind stator",
        modes: [
          {
            id: "winder",
            machines: ["winder"],
            phases: [{ kind: "run", flow: "pausable", work: fixed(windMinutes), needs: people("winding") }],
          },
        ],
      },
      {
        id: `${order}/30`,
        name: "Impregnate",
        modes: [{ id: "bench", phases: [{ kind: "run", flow: "solid", work: fixed(50), needs: people("winding") }] }],
      },
      {
        id: `${order}/40`,
        name: "Bake resin",
        prepareEarly: true,
        modes: [
          {
            id: "oven",
            machines: ["oven"],
            families: [150_000],
            phases: [
              { kind: "prepare", flow: "pausable", work: fixed(5), needs: people("winding") },
              { kind: "run", flow: "solid", work: fixed(300) },
              clear(15, "assembly"),
            ],
          },
        ],
      },
    ],
    { 3: { minLag: 10, maxLag: 90 } },
  );

/** Motors put together at a cell, rotor pressed in, tested at the end of the line. */
export const motorRoute = (order: string, minutesEach: number, flange: "small flange" | "large flange", jig: string): Route =>
  chain(order, [
    {
      id: `${order}/10`,
      name: "Press rotor",
      needsCalibrations: ["force"],
      modes: [
        {
          id: "press",
          machines: ["press"],
          families: ["rotor"],
          phases: [prepare(15, "pressing"), { kind: "run", flow: "piecewise", work: perPiece(9), needs: people("pressing") }],
        },
      ],
    },
    {
      id: `${order}/20`,
      name: "Assemble motor",
      split: { lots: 2, minPieces: 6 },
      kits: [{ kit: jig }],
      modes: ["cell-1", "cell-2"].map((cell) => ({
        id: cell,
        machines: [cell],
        phases: [
          prepare(15, "assembly"),
          { kind: "run", flow: "piecewise", work: perPiece(minutesEach), needs: people("assembly") },
        ],
      })),
    },
    {
      id: `${order}/30`,
      name: "End-of-line test",
      needsCalibrations: [],
      modes: [
        {
          id: "dyno-3",
          machines: ["dyno-3"],
          families: [flange],
          phases: [
            prepare(20, "testing"),
            {
              kind: "run",
              flow: "piecewise",
              work: perPiece(16),
              needs: people("testing"),
              draws: [{ supply: "dc", amount: 60 }],
            },
          ],
        },
      ],
    },
  ]);

/** A prototype motor, one off, through the whole shop. */
export const prototypeRoute = (order: string, cutMinutes: number, testMinutes: number): Route => {
  const stator = statorRoute(order, cutMinutes, "0.20 wire", 420);
  const operations: OperationInput[] = [
    ...stator.operations,
    milled(`${order}/50`, "Mill prototype housing", 210, "rotary", { kits: [{ kit: "rotary-fixture" }], prepareEarly: true }),
    {
      id: `${order}/60`,
      name: "Assemble prototype",
      modes: ["cell-1", "cell-2"].map((cell) => ({
        id: cell,
        machines: [cell],
        phases: [{ kind: "run", flow: "pausable", work: fixed(240), needs: people("assembly") }],
      })),
    },
    {
      id: `${order}/70`,
      name: "First run on the dyno",
      needsCalibrations: ["torque"],
      modes: ["dyno-1", "dyno-2"].map((rig) => ({
        id: rig,
        machines: [rig],
        families: ["small flange"],
        phases: [
          prepare(45, "testing"),
          {
            kind: "run",
            flow: "pausable",
            work: fixed(testMinutes),
            needs: people("testing"),
            draws: [
              { supply: "dc", amount: 90 },
              { supply: "water", amount: 30 },
            ],
          },
          clear(30, "testing"),
        ],
      })),
    },
  ];
  const lag = (n: number, from: string, to: string): LinkInput => ({
    kind: "lag",
    id: `${order}-link-${n}`,
    from: `${order}/${from}`,
    to: `${order}/${to}`,
  });
  return { operations, links: [...stator.links, lag(5, "40", "60"), lag(6, "50", "60"), lag(7, "60", "70")] };
};

/** Calibration map: attended sessions on one dyno, always the same one, coupling set up once. */
export const mapCampaignRoute = (order: string, sessions: number, draw: number): Route => {
  const operations: OperationInput[] = Array.from({ length: sessions }, (_, i) => ({
    id: `${order}/${(i + 1) * 10}`,
    name: `Map, session ${i + 1}`,
    needsCalibrations: ["torque"],
    kits: [{ kit: "torque-flange" }],
    modes: ["dyno-1", "dyno-2"].map((rig) => ({
      id: rig,
      machines: [rig],
      families: ["large flange"],
      phases: [
        { ...prepare(45, "testing"), flow: "solid" as const },
        {
          kind: "run" as const,
          flow: "pausable" as const,
          work: fixed(330),
          needs: people("testing"),
          draws: [
            { supply: "dc", amount: draw },
            { supply: "water", amount: 40 },
          ],
        },
        { ...clear(20, "testing"), maxWait: 1440 },
      ],
    })),
  }));
  const route = chain(order, operations);
  return {
    operations,
    links: [
      ...route.links,
      ...operations.slice(1).map((operation, i) => ({
        kind: "sameMachine" as const,
        id: `${order}-same-${i + 1}`,
        from: (operations[0] as OperationInput).id,
        to: operation.id,
      })),
    ],
  };
};

/** Durability, two dynos back to back, alone through the nights in blocks. */
export const enduranceRoute = (order: string, blocks: number, hoursEach: number): Route =>
  chain(
    order,
    Array.from({ length: blocks }, (_, i) => ({
      id: `${order}/${(i + 1) * 10}`,
      name: `Endurance, block ${i + 1}`,
      needsCalibrations: ["torque"],
      kits: [{ kit: "sample-k40" }],
      modes: [
        {
          id: "pair",
          machines: ["dyno-1", "dyno-2"],
          families: ["back to back", "back to back"],
          phases: [
            prepare(60, "testing"),
            {
              kind: "run" as const,
              flow: "solid" as const,
              work: fixed(hoursEach * 60),
              draws: [
                { supply: "dc", amount: 220 },
                { supply: "water", amount: 50 },
              ],
            },
            clear(40, "testing"),
          ],
        },
      ],
    })),
  );

/** Thermal cycling at two temperatures; the chamber's ramps are its setup. */
export const thermalRoute = (order: string, steps: { kelvinThousandths: number; hours: number }[]): Route =>
  chain(
    order,
    steps.map((step, i) => ({
      id: `${order}/${(i + 1) * 10}`,
      name: `Thermal step ${i + 1}`,
      prepareEarly: false,
      modes: [
        {
          id: "thermal",
          machines: ["thermal"],
          families: [step.kelvinThousandths],
          phases: [
            prepare(20, "testing"),
            {
              kind: "run" as const,
              flow: "pausable" as const,
              work: fixed(step.hours * 60),
              draws: [
                { supply: "dc", amount: 110 },
                { supply: "water", amount: 35 },
              ],
            },
            clear(25, "testing"),
          ],
        },
      ],
    })),
  );

/** One maintenance task on one machine. */
export const maintenanceRoute = (
  order: string,
  name: string,
  machine: string,
  minutes: number,
  more: Partial<OperationInput> = {},
  skill = "maintenance",
): Route => ({
  operations: [
    {
      id: `${order}/10`,
      name,
      modes: [
        {
          id: machine,
          machines: [machine],
          phases: [{ kind: "prepare", flow: "pausable", work: fixed(minutes), needs: people(skill) }],
        },
      ],
      ...more,
    },
  ],
  links: [],
});
