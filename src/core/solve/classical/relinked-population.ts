/**
 * How a population of good solutions lives: it is filled with fresh ones, then two members are relinked from both ends, the best of
 * a few solutions on the way is improved and may join. When it no longer gains it takes visitors in, later a fresh one begins, and
 * every third is made of the best of all before. Knows nothing of what a solution is.
 * Source: B. Peng, Z. Lü, T.C.E. Cheng, A tabu search/path relinking algorithm to solve the job shop scheduling problem,
 * Computers & OR 53, 2015 (relinking; the best of several solutions between two is improved further). Restarts are our own.
 */
import type { Random } from "../../ground/prng.ts";
import { Population, type Ranked } from "./population.ts";

const POPULATION = 12;
const BETWEEN = 3; // solutions between two members that are tried
const BETWEEN_FIRST = 0.25; // nearest and farthest of them, as a share of what differs
const BETWEEN_WIDE = 0.5;
const STALE_MEET = 50; // children without a gain after which visitors join
const STALE_END = 150; // and after which a fresh population begins
const CHAMPIONS_MEET_EVERY = 3; // populations

export type Breeder<M extends Ranked> = {
  readonly random: Random;
  /** Two nearer than this are the same. */
  readonly distanceLeast: number;
  distance(a: M, b: M): number;
  /** A new solution from scratch, improved. */
  fresh(): M;
  /** A solution between the two, `share` of the way, after a short search. */
  between(from: M, to: M, share: number): M;
  /** The solution after a long search. */
  improve(start: M): M;
  readonly finished: boolean;
};

export class RelinkedPopulation<M extends Ranked> {
  private readonly breeder: Breeder<M>;
  private readonly population: Population<M>;
  private readonly champions: M[] = [];
  /** The first members stand; from now on it breeds. */
  private settled = false;
  /** Children since the population got better. */
  private idle = 0;

  constructor(breeder: Breeder<M>) {
    this.breeder = breeder;
    this.population = new Population(POPULATION, breeder.distanceLeast, (a, b) => breeder.distance(a, b));
  }

  get members(): readonly M[] {
    return this.population.members;
  }

  /** Found before or by another kind of search: a member at once. */
  add(member: M): void {
    this.population.admit(member);
  }

  /** From another thread: joins where the population has come to an end. */
  meet(visitor: M): void {
    if (this.idle >= STALE_MEET) this.population.admit(visitor);
  }

  /** One more fresh member, or two children. */
  next(): void {
    const { population, champions } = this;
    if (!population.full && !this.settled) {
      population.admit(this.breeder.fresh());
      this.settled = population.full;
      return;
    }
    this.settled = true;
    if (this.idle < STALE_END) {
      this.breed();
      return;
    }
    champions.push(population.best);
    population.members = champions.length % CHAMPIONS_MEET_EVERY === 0 ? champions.slice(-POPULATION) : [];
    this.settled = false;
    this.idle = 0;
  }

  private breed(): void {
    const { population, breeder } = this;
    const { members } = population;
    const { random } = breeder;
    if (members.length < 2) {
      population.admit(breeder.fresh());
      this.idle += 1;
      return;
    }
    const i = random.int(members.length);
    const j = (i + 1 + random.int(members.length - 1)) % members.length;
    const [a, b] = [members[i], members[j]];
    if (population.alike(a, b)) {
      // The pair has grown together: a fresh member brings back variety.
      members[a.makespan > b.makespan ? i : j] = breeder.fresh();
      this.idle += 1;
      return;
    }
    for (const [from, to] of [
      [a, b],
      [b, a],
    ] as const) {
      const start = this.between(from, to);
      if (breeder.finished || start === undefined) return;
      const before = population.best.makespan;
      const child = breeder.improve(start);
      population.admit(child);
      this.idle = child.makespan < before ? 0 : this.idle + 1;
    }
  }

  /** The best of a few solutions on the way. */
  private between(from: M, to: M): M | undefined {
    const { breeder } = this;
    let best: M | undefined;
    for (let k = 0; k < BETWEEN && !breeder.finished; k += 1) {
      const share = BETWEEN_FIRST + (BETWEEN_WIDE * (k + breeder.random.next())) / BETWEEN;
      const found = breeder.between(from, to, share);
      if (best === undefined || found.makespan < best.makespan) best = found;
    }
    return best;
  }
}
