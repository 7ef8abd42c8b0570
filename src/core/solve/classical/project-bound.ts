/**
 * Lower bound of a project: the critical path; for each supply the energy of the activities that cannot start before some head
 * and leave at least some tail; and the preemptive one-machine bound over sets of activities no two of which fit side by side.
 * Never above the optimum. Large projects skip the cubic part.
 * Sources: R. Klein, A. Scholl, Computing lower bounds by destructive improvement, EJOR 112, 1999 (survey of these arguments);
 * J. Carlier, E. Pinson, Jackson's pseudo preemptive schedule for the Pm/ri,qi/Cmax problem, Annals of OR 83, 1998.
 */
import type { Project } from "../../problem/classical.ts";
import { evenlyChosen } from "./evenly-chosen.ts";
import { jacksonPreemptiveBound } from "./one-machine-bound.ts";
import { type ProjectNetwork, projectNetwork } from "./project-network.ts";

const EXCLUSION_SIZE_MAX = 300; // activities; the pairwise argument is cubic
const THRESHOLDS_MAX = 200; // heads tried per supply

export function projectBound(project: Project): number {
  const network = projectNetwork(project);
  const { size, head, tail, duration } = network;
  let bound = 0;
  for (let a = 0; a < size; a += 1) bound = Math.max(bound, head[a] + duration[a] + tail[a]);
  for (const [r, capacity] of project.capacities.entries()) {
    bound = Math.max(
      bound,
      energyBound(
        network,
        project.activities.map((activity) => activity.demands[r]),
        capacity,
      ),
    );
  }
  return size > EXCLUSION_SIZE_MAX ? bound : Math.max(bound, exclusionBound(project, network));
}

function energyBound(network: ProjectNetwork, demand: readonly number[], capacity: number): number {
  const { size, head, tail, duration } = network;
  const users = Array.from({ length: size }, (_, a) => a).filter((a) => demand[a] > 0 && duration[a] > 0);
  users.sort((a, b) => tail[b] - tail[a]);
  const heads = evenlyChosen([...new Set(users.map((a) => head[a]))], THRESHOLDS_MAX);
  let bound = 0;
  for (const from of heads) {
    let energy = 0;
    for (const a of users) {
      if (head[a] < from) continue;
      energy += demand[a] * duration[a];
      // Those met so far start at `from` or later and leave at least tail[a].
      bound = Math.max(bound, from + Math.ceil(energy / capacity) + tail[a]);
    }
  }
  return bound;
}

/** Grows, from every activity, a set of pairwise exclusive ones, longest first, and schedules it as one machine. */
function exclusionBound(project: Project, network: ProjectNetwork): number {
  const { size, head, tail, duration, succFirst, succList } = network;
  const excluded = Array.from({ length: size }, () => new Uint8Array(size));
  const order = Array.from({ length: size }, (_, a) => a).sort((a, b) => head[b] - head[a] || tail[a] - tail[b]);
  for (const a of order) {
    for (let k = succFirst[a]; k < succFirst[a + 1]; k += 1) {
      const b = succList[k];
      excluded[a][b] = 1;
      for (let c = 0; c < size; c += 1) if (excluded[b][c] === 1) excluded[a][c] = 1;
    }
  }
  for (let a = 0; a < size; a += 1) {
    for (let b = 0; b < size; b += 1) {
      if (excluded[a][b] === 1) excluded[b][a] = 1;
    }
  }
  for (let a = 0; a < size; a += 1) {
    for (let b = a + 1; b < size; b += 1) {
      if (
        project.capacities.some((capacity, r) => project.activities[a].demands[r] + project.activities[b].demands[r] > capacity)
      ) {
        excluded[a][b] = 1;
        excluded[b][a] = 1;
      }
    }
  }
  const longestFirst = Array.from({ length: size }, (_, a) => a).sort((a, b) => duration[b] - duration[a]);
  let bound = 0;
  for (let seed = 0; seed < size; seed += 1) {
    const clique = [seed];
    for (const a of longestFirst) {
      if (a !== seed && duration[a] > 0 && clique.every((b) => excluded[a][b] === 1)) clique.push(a);
    }
    bound = Math.max(bound, jacksonPreemptiveBound(clique.map((a) => ({ head: head[a], duration: duration[a], tail: tail[a] }))));
  }
  return bound;
}
