/**
 * The job shop solver: tabu search from a population of orders that are relinked pairwise (relinked-population.ts), with slices of
 * branch and bound between them for shops small enough to hope for a proof, until the iterations are spent, the makespan is proven,
 * or the caller says stop.
 * Promises a feasible schedule, its lower bound and whether it is proven optimal. Deterministic for (shop, seed, maxIterations,
 * initialPool, visitors) as long as shouldStop stays false.
 * Source: B. Peng, Z. Lü, T.C.E. Cheng, A tabu search/path relinking algorithm to solve the job shop scheduling problem,
 * Computers & OR 53, 2015.
 */
import { createRandom, type Random } from "../../ground/prng.ts";
import type { JobShop } from "../../problem/classical.ts";
import { destructiveBound, JobShopBranchAndBound } from "../exact/job-shop-branch-and-bound.ts";
import { activeDispatch } from "./active-dispatch.ts";
import { jobShopBound } from "./job-shop-bound.ts";
import { JobShopGraph } from "./job-shop-graph.ts";
import { JobShopTabu } from "./job-shop-tabu.ts";
import { machineInversions, placesIn, relink } from "./order-relinking.ts";
import { type Breeder, RelinkedPopulation } from "./relinked-population.ts";
import { type RoundSearch, runToEnd, type SearchLimits, type SearchOutcome } from "./search-limits.ts";

type Member = { readonly order: Int32Array; readonly makespan: number };

const PATIENCE = 5_000; // moves without gain in one tabu run
const PROMISING_SHARE = 0.004; // a result this near to the best is worth a longer run
const PROMISING_PATIENCE = 12_000;
const BETWEEN_MOVES = 400; // moves for a first look at an order between two
const DISTANCE_MIN = 10; // members nearer than this count as the same
const GREED_OF_DISPATCH = 0.5;
const PROOF_SIZE_MAX = 150; // operations; beyond, the tree is hopeless in minutes
const NODE_MOVES = 200; // a node of the exact search takes about as long as so many moves
const ROUND = 200_000; // moves, or nodes worth as many, between two chances to meet visitors
const PROOF_WORK = 25_000; // nodes times operations per slice: about a third of the time
const BOUND_SIZE_MAX = 2_500; // operations up to which the destructive bound costs well under a second

export const solveJobShop = (shop: JobShop, limits: SearchLimits): SearchOutcome =>
  runToEnd(new JobShopSearch(shop, limits)).outcome();

export class JobShopSearch implements RoundSearch, Breeder<Member> {
  private readonly limits: SearchLimits;
  readonly random: Random;
  readonly distanceLeast = DISTANCE_MIN;
  private readonly graph: JobShopGraph;
  private readonly tabu: JobShopTabu;
  private readonly maxMoves: number;
  private readonly exact: JobShopBranchAndBound | undefined;
  private bound: number;
  private readonly shouldStop: () => boolean;
  private starts = 0;
  private readonly population: RelinkedPopulation<Member>;
  private best: Member;

  constructor(shop: JobShop, limits: SearchLimits) {
    this.limits = limits;
    this.random = createRandom(limits.seed);
    this.graph = new JobShopGraph(shop);
    this.tabu = new JobShopTabu(this.graph, this.random);
    this.maxMoves = limits.maxIterations ?? Number.POSITIVE_INFINITY;
    this.bound = Math.max(limits.lowerBound ?? 0, jobShopBound(shop));
    this.shouldStop = limits.shouldStop ?? (() => false);
    this.population = new RelinkedPopulation(this);
    this.graph.load(activeDispatch(this.graph, this.random, 1));
    this.best = { order: this.graph.order.slice(), makespan: this.graph.makespan };
    this.announce();
    if (limits.prove !== false) {
      if (this.graph.size <= BOUND_SIZE_MAX) this.bound = destructiveBound(shop, this.bound, this.best.makespan);
      if (this.graph.size <= PROOF_SIZE_MAX) this.exact = new JobShopBranchAndBound(shop, this.best.makespan);
    }
    for (const order of limits.initialPool ?? []) this.population.add(this.member(order));
  }

  advance(): void {
    for (const until = this.work + ROUND; !this.finished && this.work < until; ) this.population.next();
  }

  meet(visitors: readonly Int32Array[]): void {
    for (const order of visitors) this.population.meet(this.member(order));
  }

  raiseBound(lowerBound: number): void {
    this.bound = Math.max(this.bound, lowerBound);
  }

  get finished(): boolean {
    return this.best.makespan <= this.bound || this.iterations >= this.maxMoves || this.shouldStop();
  }

  fresh(): Member {
    return this.polish(activeDispatch(this.graph, this.random, GREED_OF_DISPATCH));
  }

  improve(start: Member): Member {
    return this.polish(start.order);
  }

  between(from: Member, to: Member, share: number): Member {
    const { graph, random, tabu } = this;
    const places = placesIn(to.order, graph.slots);
    graph.load(relink(from.order, places, graph.machine, this.distance(from, to), share, random));
    this.starts += 1;
    this.search(BETWEEN_MOVES, BETWEEN_MOVES);
    return this.record({ order: tabu.bestOrder.slice(), makespan: tabu.bestMakespan });
  }

  private member(order: Int32Array): Member {
    this.graph.load(order);
    return this.record({ order: order.slice(), makespan: this.graph.makespan });
  }

  outcome(): SearchOutcome {
    this.graph.load(this.best.order);
    const { makespan } = this.best;
    const pool = [this.best, ...this.population.members.filter((member) => member !== this.best)]
      .sort((a, b) => a.makespan - b.makespan)
      .map((member) => member.order);
    return {
      makespan,
      lowerBound: Math.min(this.bound, makespan),
      proven: makespan <= this.bound,
      iterations: this.iterations,
      starts: this.graph.starts(),
      pool,
    };
  }

  /** Moves, and one for each start: a shop without any move to make must come to an end, too. */
  private get iterations(): number {
    return this.tabu.moves + this.starts;
  }

  /** What rounds are measured by: all that takes time. */
  private get work(): number {
    return this.iterations + (this.exact?.nodes ?? 0) * NODE_MOVES;
  }

  private announce(): void {
    this.limits.onImprovement?.(this.best.makespan, this.iterations, this.graph.starts());
  }

  private record(member: Member): Member {
    if (member.makespan < this.best.makespan) {
      this.best = member;
      this.graph.load(member.order);
      this.announce();
    }
    return member;
  }

  private polish(order: Int32Array): Member {
    this.graph.load(order);
    this.starts += 1;
    this.search(PATIENCE);
    if (this.tabu.bestMakespan <= this.best.makespan * (1 + PROMISING_SHARE)) {
      this.graph.load(this.tabu.bestOrder.slice());
      this.search(PROMISING_PATIENCE);
    }
    const member = this.record({ order: this.tabu.bestOrder.slice(), makespan: this.tabu.bestMakespan });
    this.prove();
    return member;
  }

  private search(patience: number, most = Number.POSITIVE_INFINITY): void {
    this.tabu.run({
      patience,
      maxMoves: Math.min(most, this.maxMoves - this.iterations),
      goal: this.bound,
      shouldStop: this.shouldStop,
    });
  }

  /** A slice of the exact search; it may prove the best, or find a better one itself. */
  private prove(): void {
    const { exact, graph } = this;
    if (exact === undefined || exact.exhausted || this.finished) return;
    exact.upper = Math.min(exact.upper, this.best.makespan);
    exact.search(Math.ceil(PROOF_WORK / graph.size), this.shouldStop);
    const { starts, upper, exhausted } = exact;
    if (starts !== undefined && upper < this.best.makespan) {
      const { duration, slotOf } = graph;
      const order = Int32Array.from(starts.keys())
        .sort((x, y) => starts[x] - starts[y] || duration[slotOf[x]] - duration[slotOf[y]] || x - y)
        .map((x) => slotOf[x]);
      graph.load(order);
      this.population.add(this.record({ order, makespan: graph.makespan }));
    }
    if (exhausted) this.bound = Math.max(this.bound, upper);
  }

  /** Pairs of operations on one machine that the two sequence differently. */
  distance(a: Member, b: Member): number {
    const { slots, machine, machineCount } = this.graph;
    return machineInversions(a.order, placesIn(b.order, slots), machine, machineCount);
  }
}
