/**
 * The solver for flexible job shops and for job shops with setups: tabu search from a population of plans that are
 * relinked pairwise, order and machines together (relinked-population.ts).
 * Promises a feasible schedule, the machine of every operation, a lower bound and whether it is proven. Deterministic for
 * (instance, seed, maxIterations, initialPool) as long as shouldStop stays false. A pool entry is the linear order followed by
 * the alternative of each operation, counted from its first.
 * Source: M.A. González, C.R. Vela, R. Varela, Scatter search with path relinking for the flexible job shop scheduling problem,
 * European Journal of Operational Research 245, 2015.
 */
import { createRandom, type Random } from "../../ground/prng.ts";
import type { FlexibleJobShop, JobShopWithSetups } from "../../problem/classical.ts";
import { flexibleBound } from "./flexible-bound.ts";
import { FlexibleGraph, type FlexibleInstance } from "./flexible-graph.ts";
import { FlexibleTabu } from "./flexible-tabu.ts";
import { machineInversions, placesIn, relink } from "./order-relinking.ts";
import { type Breeder, RelinkedPopulation } from "./relinked-population.ts";
import { type RoundSearch, runToEnd, type SearchLimits, type SearchOutcome } from "./search-limits.ts";

/** machine[x] is the machine taken by operation x, operations numbered job by job. */
export type FlexibleOutcome = SearchOutcome & { readonly machine: Int32Array };

type Member = { readonly order: Int32Array; readonly choice: Int32Array; readonly makespan: number };

const BETWEEN_MOVES = 400; // moves for a first look at a plan between two
const PATIENCE = 4_000;
const ROUND = 15_000; // moves between two chances to meet visitors
const DISTANCE_MIN = 8; // members nearer than this count as the same

export const solveFlexibleJobShop = (shop: FlexibleJobShop, limits: SearchLimits): FlexibleOutcome =>
  solve(flexibleInstance(shop), limits);

export const solveJobShopWithSetups = (shop: JobShopWithSetups, limits: SearchLimits): FlexibleOutcome =>
  solve(instanceWithSetups(shop), limits);

/** Both at once: alternatives and setups. */
export const solve = (instance: FlexibleInstance, limits: SearchLimits): FlexibleOutcome =>
  runToEnd(new FlexibleSearch(instance, limits)).outcome();

export const flexibleInstance = (shop: FlexibleJobShop): FlexibleInstance => ({
  machines: shop.machines,
  jobs: shop.jobs.map((job) => job.map((choices) => ({ family: 0, choices }))),
  firstSetup: [0],
  setup: [[0]],
});

export const instanceWithSetups = (shop: JobShopWithSetups): FlexibleInstance => ({
  machines: shop.machines,
  jobs: shop.jobs.map((job) => job.map(({ machine, duration, family }) => ({ family, choices: [{ machine, duration }] }))),
  firstSetup: shop.firstSetup,
  setup: shop.setup,
});

export class FlexibleSearch implements RoundSearch, Breeder<Member> {
  private readonly limits: SearchLimits;
  readonly random: Random;
  readonly distanceLeast = DISTANCE_MIN;
  private readonly graph: FlexibleGraph;
  private readonly tabu: FlexibleTabu;
  private bound: number;
  private readonly maxMoves: number;
  private readonly shouldStop: () => boolean;
  private starts = 0;
  private readonly population: RelinkedPopulation<Member>;
  private best: Member;

  constructor(instance: FlexibleInstance, limits: SearchLimits) {
    this.limits = limits;
    this.random = createRandom(limits.seed);
    this.graph = new FlexibleGraph(instance);
    this.tabu = new FlexibleTabu(this.graph, this.random);
    this.bound = Math.max(limits.lowerBound ?? 0, flexibleBound(instance));
    this.maxMoves = limits.maxIterations ?? Number.POSITIVE_INFINITY;
    this.shouldStop = limits.shouldStop ?? (() => false);
    this.population = new RelinkedPopulation(this);
    this.dispatch();
    this.best = this.current();
    this.limits.onImprovement?.(this.best.makespan, 0, this.graph.starts());
    for (const entry of limits.initialPool ?? []) this.population.add(this.member(entry));
  }

  advance(): void {
    for (const until = this.iterations + ROUND; !this.finished && this.iterations < until; ) this.population.next();
  }

  meet(visitors: readonly Int32Array[]): void {
    for (const entry of visitors) this.population.meet(this.member(entry));
  }

  raiseBound(lowerBound: number): void {
    this.bound = Math.max(this.bound, lowerBound);
  }

  get finished(): boolean {
    return this.best.makespan <= this.bound || this.iterations >= this.maxMoves || this.shouldStop();
  }

  fresh(): Member {
    this.dispatch();
    return this.search(PATIENCE);
  }

  improve(start: Member): Member {
    this.graph.load(start.order, start.choice);
    return this.search(PATIENCE);
  }

  between(from: Member, to: Member, share: number): Member {
    this.relink(from, to, share);
    return this.search(BETWEEN_MOVES, BETWEEN_MOVES);
  }

  /** The plan that a pool entry says. */
  private member(entry: Int32Array): Member {
    const { graph } = this;
    graph.load(
      entry.subarray(0, graph.size),
      entry.subarray(graph.size).map((c, x) => c + graph.choiceFirst[x]),
    );
    return this.record(this.current());
  }

  outcome(): FlexibleOutcome {
    const { graph, best } = this;
    graph.load(best.order, best.choice);
    const pool = [best, ...this.population.members.filter((member) => member !== best)].sort((a, b) => a.makespan - b.makespan);
    return {
      makespan: best.makespan,
      lowerBound: Math.min(this.bound, best.makespan),
      proven: best.makespan <= this.bound,
      iterations: this.iterations,
      starts: graph.starts(),
      machine: graph.machine.slice(0, graph.size),
      pool: pool.map(({ order, choice }) => {
        const entry = new Int32Array(graph.size * 2);
        entry.set(order);
        for (let x = 0; x < graph.size; x += 1) entry[graph.size + x] = choice[x] - graph.choiceFirst[x];
        return entry;
      }),
    };
  }

  /** Moves, and one for each start: a shop without any move to make must come to an end, too. */
  private get iterations(): number {
    return this.tabu.moves + this.starts;
  }

  private current(): Member {
    const { order, choice, size, makespan } = this.graph;
    return { order: order.slice(), choice: choice.slice(0, size), makespan };
  }

  private record(member: Member): Member {
    if (member.makespan < this.best.makespan) {
      this.best = member;
      this.graph.load(member.order, member.choice);
      this.limits.onImprovement?.(member.makespan, this.iterations, this.graph.starts());
    }
    return member;
  }

  /** Improves what the graph holds. */
  private search(patience: number, most = Number.POSITIVE_INFINITY): Member {
    const { tabu } = this;
    this.starts += 1;
    const maxMoves = Math.min(most, this.maxMoves - this.iterations);
    tabu.run({ patience, maxMoves, goal: this.bound, shouldStop: this.shouldStop });
    return this.record({ order: tabu.bestOrder.slice(), choice: tabu.bestChoice.slice(), makespan: tabu.bestMakespan });
  }

  /** A random start: jobs advance in random turn, each operation goes where it ends first, now and then second to first. */
  private dispatch(): void {
    const { graph, random } = this;
    const { size, jobCount, jobFirst, choiceFirst, choiceMachine, choiceDuration } = graph;
    const next = jobFirst.slice(0, jobCount);
    const jobReady = new Int32Array(jobCount);
    const machineReady = new Int32Array(graph.machineCount);
    const lastOn = new Int32Array(graph.machineCount).fill(size);
    const order = new Int32Array(size);
    const choice = new Int32Array(size);
    const open = Array.from({ length: jobCount }, (_, j) => j).filter((j) => jobFirst[j] < jobFirst[j + 1]);
    for (let k = 0; k < size; k += 1) {
      // Of three jobs drawn the one that is furthest behind.
      let at = random.int(open.length);
      for (let draw = 0; draw < 2; draw += 1) {
        const other = random.int(open.length);
        if (jobReady[open[other]] < jobReady[open[at]]) at = other;
      }
      const j = open[at];
      const x = next[j];
      let bestEnd = Number.POSITIVE_INFINITY;
      let pick = choiceFirst[x];
      for (let c = choiceFirst[x]; c < choiceFirst[x + 1]; c += 1) {
        const m = choiceMachine[c];
        const end = Math.max(jobReady[j], machineReady[m] + graph.setupBetween(lastOn[m], x)) + choiceDuration[c];
        if (end < bestEnd && (pick === c || bestEnd === Number.POSITIVE_INFINITY || random.int(8) !== 0)) {
          bestEnd = end;
          pick = c;
        }
      }
      const m = choiceMachine[pick];
      jobReady[j] = bestEnd;
      machineReady[m] = bestEnd;
      lastOn[m] = x;
      order[k] = x;
      choice[x] = pick;
      next[j] += 1;
      if (next[j] === jobFirst[j + 1]) {
        open[at] = open[open.length - 1];
        open.pop();
      }
    }
    graph.load(order, choice);
  }

  /** Loads a plan between the two: machines of `to` for a share of the operations, and as much of its order. */
  private relink(from: Member, to: Member, share: number): void {
    const { graph, random } = this;
    const choice = from.choice.map((c, x) => (random.next() < share ? to.choice[x] : c));
    const machine = this.machinesOf(choice);
    const places = placesIn(to.order, graph.size);
    const differing = machineInversions(from.order, places, machine, graph.machineCount);
    graph.load(relink(from.order, places, machine, differing, share, random), choice);
  }

  private machinesOf(choice: Int32Array): Int32Array {
    return choice.map((c) => this.graph.choiceMachine[c]);
  }

  /** Operations on other machines, and pairs sequenced otherwise. */
  distance(a: Member, b: Member): number {
    const { size, machineCount } = this.graph;
    const moved = a.choice.reduce((sum, c, x) => sum + (c === b.choice[x] ? 0 : 1), 0);
    return moved + machineInversions(a.order, placesIn(b.order, size), this.machinesOf(a.choice), machineCount);
  }
}
