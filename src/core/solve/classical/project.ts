/**
 * The solver for projects with renewable supplies: a steady-state genetic search over activity lists, each child built by the
 * serial scheme and tightened by double justification. When a population has grown uniform a fresh, larger one begins; now and
 * then the best of all former ones take part. Among equal makespans a schedule with less work towards its end is better.
 * Promises a feasible schedule, a lower bound and whether it is proven. Iterations are schedules generated. Deterministic for
 * (project, seed, maxIterations, initialPool) as long as shouldStop stays false.
 * Sources: S. Hartmann, A competitive genetic algorithm for resource-constrained project scheduling, Naval Research Logistics
 * 45, 1998 (activity lists, two-point crossover); V. Valls, F. Ballestín, S. Quintanilla, A hybrid genetic algorithm for the
 * RCPSP, EJOR 185, 2008 (justification of every child).
 */
import { createRandom, type Random } from "../../ground/prng.ts";
import type { Project } from "../../problem/classical.ts";
import { projectBound } from "./project-bound.ts";
import { mirror, type ProjectNetwork, projectNetwork } from "./project-network.ts";
import { type RoundSearch, runToEnd, type SearchLimits, type SearchOutcome } from "./search-limits.ts";
import { ScheduleGenerator } from "./serial-schedule-generation.ts";

type Member = { readonly list: Int32Array; readonly makespan: number; readonly cost: number };

const POPULATION_FIRST = 100;
const POPULATION_MAX = 400; // each population is twice as large as the one before, up to this
const STALE_CHILDREN = 10; // times the population size without any improvement of a member: start over
const CHAMPIONS_MAX = 50;
const CHAMPIONS_MEET_EVERY = 3; // populations; then the best of all former ones take part
const ROUND = 60_000; // schedules between two chances to meet visitors
const MUTATION_CHANCE = 0.05;

export const solveRcpsp = (project: Project, limits: SearchLimits): SearchOutcome =>
  runToEnd(new ProjectSearch(project, limits)).outcome();

export class ProjectSearch implements RoundSearch {
  private readonly limits: SearchLimits;
  private readonly random: Random;
  private readonly network: ProjectNetwork;
  private readonly ahead: ScheduleGenerator;
  private readonly back: ScheduleGenerator;
  private bound: number;
  private readonly listA: Int32Array;
  private readonly listB: Int32Array;
  private readonly taken: Int32Array;
  private readonly placeOf: Int32Array;
  private stamp = 0;
  private iterations = 0;
  /** The population stands and evolves; children since a member improved. */
  private evolving = false;
  private stale = 0;
  private members: Member[] = [];
  private champions: Member[] = [];
  private populationGoal = POPULATION_FIRST;
  private best: Member;
  private bestStarts: Int32Array;

  constructor(project: Project, limits: SearchLimits) {
    this.limits = limits;
    this.random = createRandom(limits.seed);
    this.network = projectNetwork(project);
    const { size } = this.network;
    this.ahead = new ScheduleGenerator(this.network);
    this.back = new ScheduleGenerator(mirror(this.network));
    this.bound = Math.max(limits.lowerBound ?? 0, projectBound(project));
    this.listA = new Int32Array(size);
    this.listB = new Int32Array(size);
    this.taken = new Int32Array(size);
    this.placeOf = new Int32Array(size);
    const list = this.sampledList(0);
    this.best = { list, makespan: Number.POSITIVE_INFINITY, cost: Number.POSITIVE_INFINITY };
    this.bestStarts = this.ahead.starts;
    this.evaluate(list);
    for (const entry of limits.initialPool ?? []) this.members.push(this.evaluate(entry));
  }

  advance(): void {
    for (const until = this.iterations + ROUND; !this.finished && this.iterations < until; ) this.next();
  }

  meet(visitors: readonly Int32Array[]): void {
    for (const list of visitors) {
      const guest = this.evaluate(list);
      if (this.evolving) this.replace(guest);
      else this.members.push(guest);
    }
  }

  raiseBound(lowerBound: number): void {
    this.bound = Math.max(this.bound, lowerBound);
  }

  get finished(): boolean {
    return (
      this.best.makespan <= this.bound ||
      this.iterations >= (this.limits.maxIterations ?? Number.POSITIVE_INFINITY) ||
      (this.limits.shouldStop?.() ?? false)
    );
  }

  /** One more member or child; then and again the next population. */
  private next(): void {
    if (!this.evolving && this.members.length < this.populationGoal) {
      this.members.push(this.evaluate(this.sampledList(0.6)));
      return;
    }
    this.evolving = true;
    if (this.stale < STALE_CHILDREN * this.members.length) {
      this.breed();
      return;
    }
    this.champions.push(this.members.reduce((best, member) => (member.cost < best.cost ? member : best)));
    this.populationGoal = Math.min(POPULATION_MAX, this.populationGoal * 2);
    this.members = this.champions.length % CHAMPIONS_MEET_EVERY === 0 ? this.champions.slice(-CHAMPIONS_MAX) : [];
    this.evolving = false;
    this.stale = 0;
  }

  outcome(): SearchOutcome {
    const { makespan } = this.best;
    const pool = [this.best, ...this.members.filter((member) => member !== this.best)].sort((a, b) => a.cost - b.cost);
    return {
      makespan,
      lowerBound: Math.min(this.bound, makespan),
      proven: makespan <= this.bound,
      iterations: this.iterations,
      starts: this.bestStarts,
      pool: pool.map((member) => member.list),
    };
  }

  private announce(): void {
    this.limits.onImprovement?.(this.best.makespan, this.iterations, this.bestStarts);
  }

  private breed(): void {
    const { members, random } = this;
    const mother = this.tournament();
    let father = this.tournament();
    if (father === mother) father = random.int(members.length);
    const child = this.evaluate(this.cross(members[mother].list, members[father].list));
    this.stale += 1;
    this.replace(child);
  }

  /** A copy of a member adds nothing; otherwise the newcomer takes the place of the worse of two drawn at random. */
  private replace(newcomer: Member): void {
    const { members, random } = this;
    if (members.some((member) => member.cost === newcomer.cost)) return;
    const p = random.int(members.length);
    const q = random.int(members.length);
    const loser = members[p].cost > members[q].cost ? p : q;
    if (newcomer.cost >= members[loser].cost) return;
    members[loser] = newcomer;
    this.stale = 0;
  }

  private tournament(): number {
    const { members, random } = this;
    const p = random.int(members.length);
    const q = random.int(members.length);
    return members[p].cost <= members[q].cost ? p : q;
  }

  /** Serial scheme, then justification to the right and back to the left. */
  private evaluate(list: Int32Array): Member {
    const { ahead, back, listA, listB } = this;
    ahead.place(list);
    ahead.byEndDescending(listB, list);
    back.place(listB);
    back.byEndDescending(listA, listB);
    ahead.place(listA);
    this.iterations += 3;
    const result = new Int32Array(list.length);
    ahead.byStart(result, listA);
    const member = { list: result, makespan: ahead.makespan, cost: ahead.makespan * 1e7 + this.spread() };
    if (member.cost < this.best.cost) {
      const shorter = member.makespan < this.best.makespan;
      this.best = member;
      this.bestStarts = ahead.starts.slice();
      if (shorter) this.announce();
    }
    return member;
  }

  /** Tie-breaker among equal makespans: less work in the last part of the schedule. */
  private spread(): number {
    const { starts, makespan } = this.ahead;
    const { size, duration } = this.network;
    let sum = 0;
    for (let a = 0; a < size; a += 1) {
      const end = (starts[a] + duration[a]) / Math.max(1, makespan);
      sum += end * end * duration[a];
    }
    return sum;
  }

  /** Two-point crossover: the mother's ends, between them the father's order of what is left or of the same activities. */
  private cross(mother: Int32Array, father: Int32Array): Int32Array {
    const { random, taken } = this;
    const size = mother.length;
    const length = Math.max(2, Math.floor(size * (0.2 + 0.5 * random.next())));
    const from = random.int(Math.max(1, size - length + 1));
    const until = Math.min(size, from + length);
    const child = mother.slice();
    this.stamp += 1;
    const stamp = this.stamp;
    let write = from;
    if (random.int(2) === 0) {
      for (let k = from; k < until; k += 1) taken[mother[k]] = stamp;
      for (let k = 0; k < size; k += 1) {
        if (taken[father[k]] === stamp) {
          child[write] = father[k];
          write += 1;
        }
      }
    } else {
      for (let k = 0; k < from; k += 1) taken[mother[k]] = stamp;
      for (let k = 0; k < size && write < until; k += 1) {
        if (taken[father[k]] === stamp) continue;
        taken[father[k]] = stamp;
        child[write] = father[k];
        write += 1;
      }
      for (let k = 0; k < size; k += 1) {
        if (taken[mother[k]] === stamp) continue;
        child[write] = mother[k];
        write += 1;
      }
    }
    this.mutate(child);
    return child;
  }

  /** Moves a few activities to a random place between their nearest predecessor and successor in the list. */
  private mutate(list: Int32Array): void {
    const { random, placeOf } = this;
    const { predFirst, predList, succFirst, succList, size } = this.network;
    for (let k = 0; k < size; k += 1) placeOf[list[k]] = k;
    for (let a = 0; a < size; a += 1) {
      if (random.next() >= MUTATION_CHANCE) continue;
      let low = 0;
      let high = size - 1;
      for (let p = predFirst[a]; p < predFirst[a + 1]; p += 1) low = Math.max(low, placeOf[predList[p]] + 1);
      for (let s = succFirst[a]; s < succFirst[a + 1]; s += 1) high = Math.min(high, placeOf[succList[s]] - 1);
      const to = low + random.int(high - low + 1);
      let at = placeOf[a];
      for (; at < to; at += 1) {
        list[at] = list[at + 1];
        placeOf[list[at]] = at;
      }
      for (; at > to; at -= 1) {
        list[at] = list[at - 1];
        placeOf[list[at]] = at;
      }
      list[to] = a;
      placeOf[a] = to;
    }
  }

  /** A random list, biased to the latest start of the critical path: noise 0 is the plain rule. */
  private sampledList(noise: number): Int32Array {
    const { random, network } = this;
    const { size, tail, duration, predFirst, succFirst, succList } = network;
    const reach = Math.max(1, ...tail);
    const urgency = Float64Array.from(tail, (t, a) => t + duration[a] + noise * reach * random.next());
    const open = new Int32Array(size);
    const ready: number[] = [];
    for (let a = 0; a < size; a += 1) {
      open[a] = predFirst[a + 1] - predFirst[a];
      if (open[a] === 0) ready.push(a);
    }
    const list = new Int32Array(size);
    for (let k = 0; k < size; k += 1) {
      let pick = 0;
      for (let i = 1; i < ready.length; i += 1) if (urgency[ready[i]] > urgency[ready[pick]]) pick = i;
      const a = ready[pick];
      ready[pick] = ready[ready.length - 1];
      ready.pop();
      list[k] = a;
      for (let s = succFirst[a]; s < succFirst[a + 1]; s += 1) {
        open[succList[s]] -= 1;
        if (open[succList[s]] === 0) ready.push(succList[s]);
      }
    }
    return list;
  }
}
