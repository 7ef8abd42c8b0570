/**
 * `npm run bench:peers`: ours beside general-purpose solvers, one after the other in one run: Gecode, Chuffed, HiGHS and CBC
 * (package `minizinc`) and OR-Tools CP-SAT (a Python with `ortools`, see cp-sat.ts). Same instances, seconds and threads; CPU
 * seconds of each are printed. Every peer is given the makespan of a rule as an upper bound, or in real shops the best rule's plan.
 * Every schedule, theirs and ours, is made a plan and judged by the checker; one conflict, or another makespan than claimed, ends the run.
 *   --seconds S         per instance and solver (default 10)      --threads T   (default 1)
 *   --clock wall|cpu    what the seconds are (default wall; cpu: per thread, for machines shared with others)
 *   --instances a,b     names (default ft06,ft10,la01,mk01,ta01); those not in seed/ need --folder
 *   --folder DIR        benchmark files with bounds.json (default ../shared/benchmarks)
 *   --peers a,b         of gecode,chuffed,highs,cbc,cp-sat        --seed N      (default 1)
 *   --shops 60:1,300:2  simplified real shops, size:seed, against CP-SAT (default none)
 *   --json              the last line is one object: per instance ours and each peer
 */
import { parseArgs } from "node:util";
import type { ShopSize } from "../../../seed/shop-generator.ts";
import { compareClassical, PEERS, type PeerName, type Row } from "./compare-classical.ts";
import { compareShop, type ShopRow } from "./compare-shop.ts";
import { cpSatMissing } from "./cp-sat.ts";
import { instanceNamed } from "./instances.ts";
import { minizincFolder } from "./minizinc.ts";

const { values } = parseArgs({
  options: {
    seconds: { type: "string", default: "10" },
    threads: { type: "string", default: "1" },
    clock: { type: "string", default: "wall" },
    instances: { type: "string", default: "ft06,ft10,la01,mk01,ta01" },
    folder: { type: "string", default: "../shared/benchmarks" },
    peers: { type: "string", default: PEERS.join(",") },
    shops: { type: "string", default: "" },
    seed: { type: "string", default: "1" },
    json: { type: "boolean", default: false },
  },
});
const words = (text: string): string[] => text.split(",").filter((word) => word !== "");
if (values.clock !== "wall" && values.clock !== "cpu") throw new Error(`--clock ${values.clock}: expected wall or cpu`);
const limits = {
  seconds: Number(values.seconds),
  threads: Number(values.threads),
  clock: values.clock,
  seed: Number(values.seed),
} as const;
if (!(limits.seconds > 0) || !(limits.threads >= 1)) throw new Error("--seconds and --threads: expected numbers above 0");
const peers = words(values.peers).map((name): PeerName => {
  const found = PEERS.find((peer) => peer === name);
  if (found === undefined) throw new Error(`--peers ${name}: expected some of ${PEERS.join(", ")}`);
  return found;
});

const noPython = cpSatMissing();
const noPackage = minizincFolder() === null ? "skipped: the package minizinc is not installed" : null;
const missing = (peer: PeerName): string | null => (peer === "cp-sat" ? noPython : noPackage);

const widths = [10, 8, 9, 10, 7, 8, 8, 8];
const line = (cells: readonly string[]): string =>
  cells.map((cell, i) => (i < 3 ? cell.padEnd(widths[i] ?? 9) : cell.padStart(widths[i] ?? 9))).join(" ");

const rows: Row[] = [];
console.log(`${line(["instance", "known", "solver", "makespan", "gap %", "proven", "wall s", "CPU s"])}  hash or remark`);
for (const name of words(values.instances)) {
  const instance = instanceNamed(name, values.folder);
  if (instance === null) throw new Error(`${name} is neither in seed/ nor in ${values.folder}`);
  for await (const row of compareClassical(instance, peers, missing, limits)) {
    rows.push(row);
    const gap =
      row.makespan === null || instance.known === null ? null : (100 * (row.makespan - instance.known)) / instance.known;
    console.log(
      `${line([
        name,
        `${instance.known ?? "-"}`,
        row.solver,
        `${row.makespan ?? "-"}`,
        gap === null ? "-" : gap.toFixed(2),
        row.proven ? "yes" : "-",
        row.seconds.toFixed(1),
        row.cpu.toFixed(1),
      ])}  ${row.remark}`,
    );
  }
}

const shops: ShopRow[] = [];
for (const word of words(values.shops)) {
  const [size = "", seed = "1"] = word.split(":");
  if (size !== "60" && size !== "300" && size !== "1500")
    throw new Error(`--shops ${word}: expected size:seed, size 60, 300 or 1500`);
  for await (const row of compareShop(size satisfies ShopSize, Number(seed), noPython, limits)) {
    shops.push(row);
    console.log(
      `shop ${word.padEnd(7)} ${row.solver.padEnd(7)} weighted tardiness ${`${row.tardiness ?? "-"}`.padStart(8)}  late weight ${`${row.lateWeight ?? "-"}`.padStart(4)}` +
        `  ${row.proven ? "proven" : "      "} ${row.seconds.toFixed(1).padStart(6)} s  ${row.cpu.toFixed(1).padStart(6)} s CPU  ${row.remark}`,
    );
  }
}
if (values.json) console.log(JSON.stringify({ ...limits, instances: rows, shops }));
