/**
 * Random shops of a realistic kind, from a seed: work centres with alternative machines, two shifts five days a week, setters,
 * operators and testers as crews, unattended runs that wait for somebody to unload, setup families, a DC supply, lags and
 * maintenance. Promises: same size and seed, same shop; the load of every work centre lies where the size says, and every crew has
 * time to spare (checked here, see `loadOf`), so that no shop is hopeless or trivial by accident.
 * All figures are invented; they follow no particular shop. Due dates come from a flow allowance that was tuned for 15-35 % late
 * orders under the best dispatching rule. A shop of eleven orders goes its own way, though: `SHOP_FAMILIES` names those of each size
 * that keep to it (tests/seed/shop-generator.test.ts plans the small ones, tests/bench/README.md has the figures).
 */
import type { ProblemFileInput } from "../src/contract/problem-file.ts";
import { invariant } from "../src/core/ground/invariant.ts";
import { createRandom, type Random } from "../src/core/ground/prng.ts";

export type ShopSize = "60" | "300" | "1500" | "10000";

type Shape = {
  readonly operations: number;
  /** Machines of each work centre. */
  readonly centres: {
    readonly mill: number;
    readonly turn: number;
    readonly wire: number;
    readonly assembly: number;
    readonly rig: number;
  };
  /** Weeks over which orders are released. */
  readonly weeks: number;
  /** Wanted load of the fullest work centre in those weeks. */
  readonly load: number;
  /** Due = release + allowance x (work of the order in calendar time) + a day or so. */
  readonly allowance: number;
};

export const SHOP_SHAPES: Readonly<Record<ShopSize, Shape>> = {
  "60": { operations: 60, centres: { mill: 2, turn: 1, wire: 1, assembly: 2, rig: 2 }, weeks: 2, load: 0.85, allowance: 1.8 },
  "300": { operations: 300, centres: { mill: 3, turn: 2, wire: 1, assembly: 3, rig: 2 }, weeks: 5, load: 0.8, allowance: 2.7 },
  "1500": {
    operations: 1500,
    centres: { mill: 5, turn: 3, wire: 2, assembly: 4, rig: 4 },
    weeks: 12,
    load: 0.62,
    allowance: 3.3,
  },
  "10000": {
    operations: 10_000,
    centres: { mill: 20, turn: 12, wire: 7, assembly: 16, rig: 14 },
    weeks: 22,
    load: 0.6,
    allowance: 3.3,
  },
};

/** Seeds of each size whose shop has 15-35 % late orders under the best rule: the instances that benches number from 1. */
export const SHOP_FAMILIES: Readonly<Record<ShopSize, readonly number[]>> = {
  "60": [3, 4, 6, 8, 10],
  "300": [1, 2, 3, 4, 5],
  "1500": [2, 3, 4, 6, 7],
  "10000": [1, 2],
};

type Centre = keyof Shape["centres"];
const CENTRES: readonly Centre[] = ["mill", "turn", "wire", "assembly", "rig"];
/** Working minutes of a week with two shifts of 8 h on five days. */
const WEEK_MINUTES = 5 * 16 * 60;
const FAMILIES = ["F1", "F2", "F3", "F4", "F5", "F6"];
/** Share of each centre's time that its machines run alone day and night. */
const ALONE: Readonly<Record<Centre, boolean>> = { mill: false, turn: false, wire: true, assembly: false, rig: true };
const SETTER_OF: Readonly<Record<Centre, string>> = {
  mill: "set-up",
  turn: "set-up",
  wire: "set-up",
  assembly: "fit",
  rig: "test",
};
const RUNNER_OF: Readonly<Record<Centre, string>> = {
  mill: "operate",
  turn: "operate",
  wire: "operate",
  assembly: "fit",
  rig: "test",
};

type Phase = NonNullable<
  NonNullable<ProblemFileInput["orders"]>[number]["operations"][number]["modes"][number]["phases"]
>[number];

/** Minutes asked of each skill and each centre, per week of the span, as a share of what is there. */
export type ShopLoad = { readonly centres: Readonly<Record<string, number>>; readonly crews: Readonly<Record<string, number>> };

export function generateShop(size: ShopSize, seed: number): ProblemFileInput {
  const shape = SHOP_SHAPES[size];
  const random = createRandom(seed * 1009 + shape.operations);
  const between = (low: number, high: number): number => low + random.int(high - low + 1);
  const pick = <T>(list: readonly T[]): T => list[random.int(list.length)] as T;

  const machineIds = new Map<Centre, string[]>(
    CENTRES.map((centre) => [centre, Array.from({ length: shape.centres[centre] }, (_, i) => `${centre}-${i + 1}`)]),
  );
  const spanMinutes = shape.weeks * 7 * 1440;

  // Work of an operation is drawn first and scaled afterwards so that the fullest centre meets the wanted load.
  type Draft = {
    centre: Centre;
    machines: string[];
    factors: number[];
    family: string;
    prepare: number;
    run: number;
    clear: number;
    pieces: boolean;
    alone: boolean;
    lag: number;
    draw: number;
  };
  const orders: {
    drafts: Draft[];
    release: number;
    quantity: number;
    weight: number;
    kind: "production" | "prototype" | "campaign";
  }[] = [];
  let count = 0;
  while (count < shape.operations) {
    const steps = Math.min(between(3, 7), shape.operations - count);
    const drafts: Draft[] = [];
    let before: Centre | null = null;
    for (let i = 0; i < steps; i++) {
      const choices = CENTRES.filter((centre) => centre !== before);
      const weights = choices.map((centre) => shape.centres[centre]);
      const centre: Centre = i === steps - 1 && random.next() < 0.5 ? "rig" : weighted(choices, weights, random);
      before = centre;
      const all = machineIds.get(centre) ?? [];
      const first = random.int(all.length);
      const machines = Array.from(
        { length: Math.min(all.length, between(1, 3)) },
        (_, k) => all[(first + k) % all.length] as string,
      );
      const alone = ALONE[centre] ? random.next() < 0.75 : centre === "mill" && random.next() < 0.15;
      drafts.push({
        centre,
        machines,
        factors: machines.map((_, k) => (k === 0 ? 100 : between(80, 120))),
        family: pick(FAMILIES),
        prepare: between(5, 30),
        run: Math.round(Math.exp(random.next() * 2.2) * (alone ? 260 : 90)),
        clear: between(5, 25),
        pieces: !alone && random.next() < 0.7,
        alone,
        lag: random.next() < 0.15 ? between(1, 16) * 60 : 0,
        draw: centre === "rig" && alone ? between(3, 11) * 10 : 0,
      });
    }
    count += steps;
    const prototype = random.next() < 0.12;
    orders.push({
      drafts,
      release: Math.round(random.next() ** 0.9 * spanMinutes * 0.92),
      quantity: prototype ? 1 : between(4, 30),
      weight: prototype ? between(5, 8) : between(1, 4),
      kind: prototype ? "prototype" : drafts.at(-1)?.centre === "rig" && random.next() < 0.3 ? "campaign" : "production",
    });
  }

  // An unattended run may use the night: its centre has all 24 hours; an attended one the two shifts.
  const capacityOf = (centre: Centre): number =>
    shape.centres[centre] * shape.weeks * (ALONE[centre] ? 6.3 * 1440 : WEEK_MINUTES);
  const setupGuess = 45;
  for (const centre of CENTRES) {
    const drafts = orders.flatMap((order) => order.drafts).filter((draft) => draft.centre === centre);
    const fixedMinutes = drafts.reduce((sum, draft) => sum + draft.prepare + draft.clear + setupGuess, 0);
    const runMinutes = drafts.reduce((sum, draft) => sum + draft.run, 0);
    const wanted = capacityOf(centre) * shape.load * (centre === "assembly" || centre === "turn" ? 0.9 : 1) - fixedMinutes;
    const scale = Math.max(0.05, wanted / Math.max(1, runMinutes));
    for (const draft of drafts) draft.run = Math.max(10, Math.round(draft.run * scale));
  }

  const asked = new Map<string, number>();
  const ask = (skill: string, minutes: number): void => void asked.set(skill, (asked.get(skill) ?? 0) + minutes);
  for (const draft of orders.flatMap((order) => order.drafts)) {
    ask(SETTER_OF[draft.centre], draft.prepare + setupGuess);
    if (!draft.alone) ask(RUNNER_OF[draft.centre], draft.run);
    ask(RUNNER_OF[draft.centre], draft.clear);
  }
  // People for each skill so that each crew is asked for somewhat over half of its time. A crew works in both shifts and hands work
  // on inside itself; were the shifts crews of their own, a long job would rest through every second one.
  const crews = [...asked].map(([skill, minutes]) => ({
    id: skill,
    name: skill,
    calendar: "two-shift",
    people: Math.max(1, Math.ceil(minutes / (shape.weeks * WEEK_MINUTES * 0.58))) * 100,
    skills: [skill],
  }));

  const table = {
    id: "families",
    families: FAMILIES,
    minutes: FAMILIES.map((from, i) => FAMILIES.map((to, k) => (from === to ? 8 : 25 + ((i * 37 + k * 53) % 111)))),
  };

  const needOf = (skill: string) => [{ skill, amount: 100 }];
  const phasesOf = (draft: Draft, factor: number, quantity: number): Phase[] => {
    const run = Math.max(5, Math.round((draft.run * factor) / 100));
    const seconds = Math.max(60, Math.round((run * 60) / quantity));
    return [
      {
        kind: "prepare",
        flow: "pausable",
        work: { kind: "fixed", minutes: draft.prepare },
        needs: needOf(SETTER_OF[draft.centre]),
      },
      draft.alone
        ? {
            kind: "run",
            flow: "solid",
            work: { kind: "fixed", minutes: run },
            draws: draft.draw > 0 ? [{ supply: "dc", amount: draft.draw }] : [],
          }
        : {
            kind: "run",
            flow: draft.pieces && seconds <= 4 * 3600 ? "piecewise" : "pausable",
            work: draft.pieces ? { kind: "perPiece", seconds } : { kind: "fixed", minutes: run },
            needs: needOf(RUNNER_OF[draft.centre]),
          },
      { kind: "clear", flow: "solid", work: { kind: "fixed", minutes: draft.clear }, needs: needOf(RUNNER_OF[draft.centre]) },
    ];
  };

  const links: NonNullable<ProblemFileInput["links"]> = [];
  const bookedOrders = orders.map((order, i) => {
    const id = `O${String(i + 1).padStart(4, "0")}`;
    const operations = order.drafts.map((draft, k) => ({
      id: `${id}/${String((k + 1) * 10).padStart(2, "0")}`,
      name: `${draft.centre}`,
      modes: draft.machines.map((machine, m) => ({
        id: machine,
        machines: [machine],
        families: [draft.centre === "assembly" ? null : draft.family],
        phases: phasesOf(draft, draft.factors[m] as number, order.quantity),
      })),
    }));
    for (let k = 1; k < operations.length; k++)
      links.push({
        kind: "lag",
        id: `${id}-${k}`,
        from: (operations[k - 1] as { id: string }).id,
        to: (operations[k] as { id: string }).id,
        minLag: (order.drafts[k - 1] as Draft).lag,
      });
    // Attended work takes about 7 / 5 x 24 / 16 of its minutes in calendar time, work alone about its own.
    const calendarMinutes = order.drafts.reduce(
      (sum, draft) =>
        sum + (draft.alone ? draft.run : draft.run * 2.1) + (draft.prepare + draft.clear + setupGuess) * 2.1 + draft.lag,
      0,
    );
    const due = order.release + shape.allowance * calendarMinutes * (0.8 + 0.4 * random.next()) + 1440;
    return {
      id,
      kind: order.kind,
      quantity: order.quantity,
      release: order.release,
      due: Math.ceil(due / 60) * 60,
      weight: order.weight,
      operations,
    };
  });

  const shopMachines = CENTRES.flatMap((centre) =>
    (machineIds.get(centre) ?? []).map((id) => ({
      id,
      name: id,
      group: centre,
      kind: centre === "rig" ? ("rig" as const) : ("machine" as const),
      setup: centre === "assembly" ? ({ kind: "none" } as const) : ({ kind: "table", table: "families" } as const),
      family: centre === "assembly" ? null : pick(FAMILIES),
      unattended: { kind: "allowed" as const, maxMinutes: null },
      closures: [{ start: between(1, shape.weeks) * 7 * 1440 - between(1, 4) * 1440 - 8 * 60, end: 0, reason: "Service" }].map(
        (closure) => ({ ...closure, end: closure.start + between(2, 5) * 60 }),
      ),
    })),
  );

  const rigs = shape.centres.rig;
  return loadedAsMeant(size, {
    format: "slotwright-problem",
    version: 1,
    name: `Random shop ${size}, seed ${seed}`,
    zone: "UTC",
    origin: "2027-01-04T00:00:00Z",
    now: 0,
    horizon: (shape.weeks * 2 + 8) * 7 * 1440,
    calendars: [
      {
        id: "two-shift",
        weekly: [
          { name: "Early", days: [1, 2, 3, 4, 5], from: "06:00", until: "14:00" },
          { name: "Late", days: [1, 2, 3, 4, 5], from: "14:00", until: "22:00" },
        ],
      },
    ],
    machines: shopMachines,
    crews,
    supplies: [{ id: "dc", name: "DC supply", unit: "kW", amount: Math.max(130, Math.round(rigs * 76)) }],
    setupTables: [table],
    orders: bookedOrders,
    links,
  });
}

const CENTRE_LOAD_SLACK = 0.1;
const CREW_LOAD_MOST = 0.62;

/** The shop, once its load is found to be what its size promises. */
function loadedAsMeant(size: ShopSize, shop: ProblemFileInput): ProblemFileInput {
  const { load } = SHOP_SHAPES[size];
  const { centres, crews } = loadOf(shop, size);
  for (const [centre, share] of Object.entries(centres))
    invariant(
      share <= load + 0.01 && share >= load - CENTRE_LOAD_SLACK,
      `${shop.name}: load of ${centre} is ${share.toFixed(2)}, not ${load}`,
    );
  for (const [crew, share] of Object.entries(crews))
    invariant(share <= CREW_LOAD_MOST, `${shop.name}: crew ${crew} is asked for ${share.toFixed(2)} of its time`);
  return shop;
}

function weighted<T>(list: readonly T[], weights: readonly number[], random: Random): T {
  let at = random.next() * weights.reduce((sum, weight) => sum + weight, 0);
  for (let i = 0; i < list.length; i++) {
    at -= weights[i] as number;
    if (at < 0) return list[i] as T;
  }
  return list[list.length - 1] as T;
}

/** The load that the generated work puts on centres and crews over the release span, setups guessed; 1 is full. */
export function loadOf(shop: ProblemFileInput, size: ShopSize): ShopLoad {
  const shape = SHOP_SHAPES[size];
  const centres = new Map<string, number>();
  const skills = new Map<string, number>();
  for (const order of shop.orders ?? [])
    for (const operation of order.operations) {
      const mode = operation.modes[0];
      const centre = operation.name ?? "";
      for (const phase of mode?.phases ?? []) {
        const minutes =
          (phase.work.kind === "fixed" ? phase.work.minutes : Math.ceil(((order.quantity ?? 1) * phase.work.seconds) / 60)) +
          (phase.kind === "prepare" ? 45 : 0);
        centres.set(centre, (centres.get(centre) ?? 0) + minutes);
        for (const need of phase.needs ?? []) skills.set(need.skill, (skills.get(need.skill) ?? 0) + minutes);
      }
    }
  const people = new Map<string, number>();
  for (const crew of shop.crews ?? [])
    for (const skill of crew.skills ?? []) people.set(skill, (people.get(skill) ?? 0) + (crew.people ?? 100) / 100);
  return {
    centres: Object.fromEntries(
      CENTRES.map((centre) => [
        centre,
        (centres.get(centre) ?? 0) / (shape.centres[centre] * shape.weeks * (ALONE[centre] ? 6.3 * 1440 : WEEK_MINUTES)),
      ]),
    ),
    crews: Object.fromEntries(
      [...skills].map(([skill, minutes]) => [skill, minutes / ((people.get(skill) ?? 0) * shape.weeks * WEEK_MINUTES)]),
    ),
  };
}
