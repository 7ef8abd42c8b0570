/**
 * The comparison with other solvers in its smallest form, so that it doesn't rot: ft06 with each. Ours must prove the published
 * optimum; no solver that is installed may have anything better, or prove anything else; times are not judged. Optimum 55: D. Applegate,
 * W. Cook, A computational study of the job-shop scheduling problem, ORSA Journal on Computing 3(2), 1991.
 */
import { describe, expect, test } from "vitest";
import { compareClassical, PEERS, type PeerName, type Row } from "./peers/compare-classical.ts";
import { cpSatMissing } from "./peers/cp-sat.ts";
import { instanceNamed } from "./peers/instances.ts";
import { minizincFolder } from "./peers/minizinc.ts";
import { ruleSchedule } from "./peers/rule.ts";

const OPTIMUM = 55;
const noPackage = minizincFolder() === null ? "skipped: the package minizinc is not installed" : null;
const noPython = cpSatMissing();
const missing = (peer: PeerName): string | null => (peer === "cp-sat" ? noPython : noPackage);

/** CPU seconds. */
const LIMIT = 6;
const LIMIT_CBC = 3;

async function onFt06(peer: PeerName): Promise<readonly Row[]> {
  const ft06 = instanceNamed("ft06", "no folder");
  if (ft06 === null) throw new Error("ft06 is typed in seed/instances");
  const rows: Row[] = [];
  const limits = { seconds: peer === "cbc" ? LIMIT_CBC : LIMIT, threads: 1, clock: "cpu", seed: 1 } as const;
  for await (const row of compareClassical(ft06, [peer], missing, limits)) rows.push(row);
  return rows;
}

describe("peers on ft06", () => {
  for (const peer of PEERS) {
    test.skipIf(missing(peer) !== null)(
      `${peer} and ours agree, each schedule judged by the checker`,
      async () => {
        const rows = await onFt06(peer);
        expect(rows.map(({ solver }) => solver)).toEqual(["rule", "ours", peer]);
        const of = (solver: Row["solver"]): Row | undefined => rows.find((row) => row.solver === solver);
        expect(of("ours")).toMatchObject({ makespan: OPTIMUM, proven: true });
        // How far another solver gets in its time is not ours to promise; what it claims must not contradict ours.
        expect(of(peer)?.makespan ?? OPTIMUM).toBeGreaterThanOrEqual(OPTIMUM);
        if (of(peer)?.proven) expect(of(peer)?.makespan).toBe(OPTIMUM);
        expect(of("rule")?.makespan).toBeGreaterThanOrEqual(OPTIMUM);
      },
      180_000,
    );
  }

  test("what is not installed is a row that says so", async () => {
    const ft06 = instanceNamed("ft06", "no folder");
    if (ft06 === null) throw new Error("ft06 is typed in seed/instances");
    const rows: Row[] = [];
    const limits = { seconds: 1, threads: 1, clock: "cpu", seed: 1 } as const;
    for await (const row of compareClassical(ft06, ["cp-sat"], () => "skipped: nowhere", limits)) rows.push(row);
    expect(rows.at(-1)).toMatchObject({ solver: "cp-sat", makespan: null, remark: "skipped: nowhere" });
  });

  test("the rule's makespan is that of its schedule on a shop of two machines, counted by hand", () => {
    // Job 1: machine 0 for 3, machine 1 for 2. Job 2: machine 0 for 2, machine 1 for 4. The rule takes job 2 first on machine 0
    // only if it has more work left: 6 against 5. Then 2-5 job 1, 2-6 and 6-8 on machine 1.
    const visit = (machine: number, duration: number) => [{ machine, duration }];
    const shop = {
      machines: 2,
      jobs: [
        [visit(0, 3), visit(1, 2)],
        [visit(0, 2), visit(1, 4)],
      ],
    };
    const { makespan, starts } = ruleSchedule(shop);
    expect(makespan).toBe(8);
    expect([...starts]).toEqual([2, 6, 0, 2]);
  });
});
