/**
 * Edge finding on one machine: raises earliest starts of operations that must follow a whole set of others, and notices sets that
 * cannot end in time. Written for one direction of time; the caller mirrors for the other. O(n squared).
 * Promises never to cut off a feasible sequence. `release` and `deadline` may be any consistent windows.
 * Source: P. Baptiste, C. Le Pape, Edge-finding constraint propagation algorithms for disjunctive and cumulative scheduling,
 * Proceedings of the 15th UK Planning SIG, 1996; after J. Carlier, E. Pinson, Management Science 35, 1989.
 */
export class EdgeFinder {
  /** Inputs of one call, at 0 .. count - 1, sorted by release. Callers fill them. */
  readonly release: Int32Array;
  readonly duration: Int32Array;
  readonly deadline: Int32Array;
  /** Result: releases, raised where the argument allows. */
  readonly raised: Int32Array;
  private readonly completion: Int32Array;

  constructor(capacity: number) {
    this.release = new Int32Array(capacity);
    this.duration = new Int32Array(capacity);
    this.deadline = new Int32Array(capacity);
    this.raised = new Int32Array(capacity);
    this.completion = new Int32Array(capacity);
  }

  /** False: no sequence fits. True: `raised` is filled. */
  run(count: number): boolean {
    const { release, duration, deadline, raised, completion } = this;
    for (let i = 0; i < count; i += 1) raised[i] = release[i];
    for (let k = 0; k < count; k += 1) {
      const until = deadline[k];
      let work = 0;
      let latest = -0x40000000;
      // completion[i]: least end of the operations from i on that are due by `until`.
      for (let i = count - 1; i >= 0; i -= 1) {
        if (deadline[i] <= until) {
          work += duration[i];
          if (release[i] + work > latest) latest = release[i] + work;
          if (latest > until) return false;
        }
        completion[i] = latest;
      }
      let reach = -0x40000000;
      for (let i = 0; i < count; i += 1) {
        if (deadline[i] <= until) {
          if (release[i] + work > reach) reach = release[i] + work;
          work -= duration[i];
        } else {
          if (release[i] + work + duration[i] > until && completion[i] > raised[i]) raised[i] = completion[i];
          if (reach + duration[i] > until && latest > raised[i]) raised[i] = latest;
        }
      }
    }
    return true;
  }
}
