/**
 * A small population of good solutions that stay different: whoever joins a full one makes the member leave that is worst in
 * makespan and nearness to another taken together; the best always stays. Two that are nearly the same are one.
 * Source of the idea: D. Porumbel, J.K. Hao, P. Kuntz, An evolutionary approach with diversity guarantee for graph coloring,
 * Computers & OR 37, 2010 (distance in the choice of who stays); the weights are ours, measured.
 */
export type Ranked = { readonly makespan: number };

/** Share of quality in the choice who leaves; the rest is distance to the nearest. */
const QUALITY_SHARE = 0.6;

export class Population<M extends Ranked> {
  readonly size: number;
  members: M[] = [];
  private readonly distance: (a: M, b: M) => number;
  private readonly distanceLeast: number;

  /** Members nearer than `distanceLeast` count as the same. */
  constructor(size: number, distanceLeast: number, distance: (a: M, b: M) => number) {
    this.size = size;
    this.distanceLeast = distanceLeast;
    this.distance = distance;
  }

  get full(): boolean {
    return this.members.length >= this.size;
  }

  get best(): M {
    return this.members.reduce((best, member) => (member.makespan < best.makespan ? member : best));
  }

  alike(a: M, b: M): boolean {
    return this.distance(a, b) < this.distanceLeast;
  }

  admit(child: M): void {
    const { members } = this;
    const twin = members.findIndex((member) => member.makespan === child.makespan && this.alike(member, child));
    if (twin >= 0) members[twin] = child;
    else if (!this.full) members.push(child);
    else this.replaceWith(child);
  }

  private replaceWith(child: M): void {
    const all = [...this.members, child];
    const nearest = all.map((a) =>
      all.reduce((least, b) => (a === b ? least : Math.min(least, this.distance(a, b))), Number.POSITIVE_INFINITY),
    );
    const makespans = all.map((member) => member.makespan);
    const [shortest, longest] = [Math.min(...makespans), Math.max(...makespans)];
    const [closest, farthest] = [Math.min(...nearest), Math.max(...nearest)];
    let leaving = all.length - 1;
    let lowest = Number.POSITIVE_INFINITY;
    for (let i = 0; i < all.length; i += 1) {
      if (makespans[i] === shortest) continue;
      const quality = (longest - makespans[i]) / (longest - shortest);
      const variety = (nearest[i] - closest) / Math.max(1, farthest - closest);
      const score = QUALITY_SHARE * quality + (1 - QUALITY_SHARE) * variety;
      if (score <= lowest) {
        lowest = score;
        leaving = i;
      }
    }
    all.splice(leaving, 1);
    this.members = all;
  }
}
