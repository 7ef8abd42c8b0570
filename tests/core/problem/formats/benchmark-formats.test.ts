/** The four text formats: good files read to the number, every kind of bad file refused with its line and what was expected. */
import { describe, expect, test } from "vitest";
import { MK01, T2_PS01 } from "../../../../seed/instances/flexible-and-setups.ts";
import { FT06, LA01 } from "../../../../seed/instances/job-shops.ts";
import { J301_1 } from "../../../../seed/instances/projects.ts";
import { TAILLARD_SEEDS, taillard } from "../../../../seed/taillard.ts";
import type { Fault, Result } from "../../../../src/core/ground/result.ts";
import { readFlexibleJobShop } from "../../../../src/core/problem/formats/flexible-job-shop.ts";
import { readJobShop } from "../../../../src/core/problem/formats/job-shop.ts";
import { readJobShopWithSetups } from "../../../../src/core/problem/formats/job-shop-with-setups.ts";
import { readPsplib } from "../../../../src/core/problem/formats/psplib.ts";

function value<T>(result: Result<T, Fault>): T {
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

function refusal<T>(result: Result<T, Fault>): string {
  return result.ok ? "accepted" : `${result.error.at}: ${result.error.message}`;
}

describe("job shop files", () => {
  test("ft06 reads to the number", () => {
    const shop = value(readJobShop(FT06));
    expect(shop.machines).toBe(6);
    expect(shop.jobs).toHaveLength(6);
    expect(shop.jobs[0]?.[0]).toEqual({ machine: 2, duration: 1 });
    expect(shop.jobs[5]?.[5]).toEqual({ machine: 2, duration: 1 });
    const total = shop.jobs.flat().reduce((sum, operation) => sum + operation.duration, 0);
    expect(total).toBe(197); // sum of the table in Muth and Thompson, 1963
  });

  test("line ends of any system and blank lines are fine", () => {
    expect(value(readJobShop("1 1\r\n\r\n0 5\r\n"))).toEqual({ machines: 1, jobs: [[{ machine: 0, duration: 5 }]] });
  });

  test.each([
    ["", "line 1: expected the line `jobs machines`, but the file ends"],
    ["2\n", "line 1: expected the number of machines, but the line ends after 1 numbers"],
    ["1 1 1\n0 5", "line 1: expected the line to end after 2 numbers, found 1 more"],
    ["0 1\n", "line 1: expected the number of jobs from 1 to 100000, found 0"],
    ["2 1\n0 5\n", "line 3: expected job 1 of 2, but the file ends"],
    ["1 1\n0 5 0\n", "line 2: expected pairs `machine duration`, found 3 numbers"],
    ["1 1\n1 5\n", "line 2: expected a machine from 0 to 0, found 1"],
    ["1 1\n0 five\n", 'line 2: expected a duration as a whole number, found "five"'],
    ["1 1\n0 1.5\n", 'line 2: expected a duration as a whole number, found "1.5"'],
    ["1 1\n0 -5\n", "line 2: expected a duration from 0 to 10000000, found -5"],
    ["1 1\n0 5\n\n0 6\n", 'line 4: expected nothing after the last of 1 jobs, found "0 6"'],
  ])("%j is refused", (text, expected) => {
    expect(refusal(readJobShop(text))).toBe(expected);
  });
});

describe("flexible job shop files", () => {
  test("mk01 reads to the number, with or without a third figure in line 1", () => {
    const shop = value(readFlexibleJobShop(MK01));
    expect(shop.machines).toBe(6);
    expect(shop.jobs.map((job) => job.length)).toEqual([6, 5, 5, 5, 6, 6, 5, 5, 6, 6]);
    expect(shop.jobs[0]?.[0]).toEqual([
      { machine: 0, duration: 5 },
      { machine: 2, duration: 4 },
    ]);
    expect(value(readFlexibleJobShop("1 2 1.5\n1 2 0 5 1 6"))).toEqual(value(readFlexibleJobShop("1 2\n1 2 0 5 1 6")));
  });

  test.each([
    ["1 2\n1 3 0 5 1 6\n", "line 2: expected the number of alternatives of operation 0 from 1 to 2, found 3"],
    ["1 2\n1 2 0 5 1\n", "line 2: expected a duration, but the line ends after 5 numbers"],
    ["1 2\n1 1 0 5 7\n", "line 2: expected the line to end after 4 numbers, found 1 more"],
    ["1 2\n1 1 2 5\n", "line 2: expected a machine from 0 to 1, found 2"],
    ["1 2\n0\n", "line 2: expected the number of operations from 1 to 100000, found 0"],
    ["2 2\n1 1 0 5\n", "line 3: expected job 1 of 2, but the file ends"],
  ])("%j is refused", (text, expected) => {
    expect(refusal(readFlexibleJobShop(text))).toBe(expected);
  });
});

describe("files of job shops with setups", () => {
  test("t2-ps01 is la01 with a family per job and the published setup rule", () => {
    const shop = value(readJobShopWithSetups(T2_PS01));
    const plain = value(readJobShop(LA01));
    expect(shop.jobs.map((job) => job.map(({ machine, duration }) => ({ machine, duration })))).toEqual(plain.jobs);
    expect(shop.jobs.map((job) => new Set(job.map((operation) => operation.family)))).toEqual(
      plain.jobs.map((_, j) => new Set([j % 5])),
    );
    for (let a = 0; a < 5; a += 1) {
      expect(shop.firstSetup[a]).toBe(10 * (a + 1));
      for (let b = 0; b < 5; b += 1) expect(shop.setup[a]?.[b]).toBe(10 * ((b - a + 5) % 5));
    }
  });

  test.each([
    ["1 1 1\n0 5\n0\n0\n", "line 2: expected triples `machine duration family`, found 2 numbers"],
    ["1 1 1\n0 5 1\n0\n0\n", "line 2: expected a family from 0 to 0, found 1"],
    ["1 1 2\n0 5 1\n0 1\n0 1\n", "line 5: expected the setups after family 1, but the file ends"],
    ["1 1 2\n0 5 1\n0\n0 1\n1 0\n", "line 3: expected a setup time, but the line ends after 1 numbers"],
    ["1 1 1\n0 5 0\n0\n0\n9\n", 'line 5: expected nothing after the setup matrix, found "9"'],
  ])("%j is refused", (text, expected) => {
    expect(refusal(readJobShopWithSetups(text))).toBe(expected);
  });
});

describe("project files", () => {
  test("j301_1 reads to the number", () => {
    const project = value(readPsplib(J301_1));
    expect(project.activities).toHaveLength(32);
    expect(project.capacities).toEqual([12, 13, 4, 12]);
    expect(project.activities[0]).toEqual({ duration: 0, demands: [0, 0, 0, 0], successors: [1, 2, 3] });
    expect(project.activities[1]).toEqual({ duration: 8, demands: [4, 0, 0, 0], successors: [5, 10, 14] });
  });

  const change = (from: string | RegExp, to: string): string => {
    expect(J301_1).toMatch(from); // a change that changes nothing would test nothing
    return J301_1.replace(from, to);
  };
  test.each<[string, () => string, RegExp]>([
    ["a missing section", () => change("RESOURCEAVAILABILITIES:", "ELSEWHERE:"), /expected a section `RESOURCEAVAILABILITIES:`/],
    ["a head without jobs", () => change(/jobs \(incl.*/, ""), /expected a line `jobs \.\.\.: figure` in the head/],
    [
      "nonrenewable supplies",
      () => change(/- nonrenewable +: +0/, "- nonrenewable : 2"),
      /^line \d+: expected no nonrenewable resources/,
    ],
    [
      "a second mode",
      () => change(/^ +2 +1 +3 +6/m, "   2        2          3           6"),
      /^line \d+: expected exactly one mode from 1 to 1, found 2/,
    ],
    [
      "a wrong activity number",
      () => change(/^ +2 +1 +3 +6/m, "   3        1          3           6"),
      /expected activity number 2 from 2 to 2, found 3/,
    ],
    [
      "a missing successor",
      () => change(/^( +2 +1 +3 +6 +11) +15/m, "$1"),
      /expected a successor, but the line ends after 5 numbers/,
    ],
    ["a cycle", () => change(/^( +6 +1 +1 +)30/m, "$1 2"), /expected precedence without a cycle, activity \d+ waits for itself/],
    ["more demand than there is", () => change(/^( +2 +1 +8 +)4/m, "$199"), /expected at most 12 of R 1, activity 2 asks for 99/],
    ["a short file", () => J301_1.slice(0, 2000), /^line \d+: expected /],
  ])("%s is refused", (_, text, expected) => {
    expect(refusal(readPsplib(text()))).toMatch(expected);
  });
});

describe("Taillard's generator", () => {
  test("ta01 begins as published: job 0 on machine 6 for 94", () => {
    const shop = taillard("ta01");
    expect(shop.jobs[0]?.[0]).toEqual({ machine: 6, duration: 94 });
  });

  test("every job visits every machine once, durations from 1 to 99", () => {
    for (const [name, jobs, machines] of TAILLARD_SEEDS) {
      const shop = taillard(name);
      expect(shop.jobs).toHaveLength(jobs);
      for (const job of shop.jobs) {
        expect(job.map((operation) => operation.machine).sort((a, b) => a - b)).toEqual(
          Array.from({ length: machines }, (_, m) => m),
        );
        expect(job.every(({ duration }) => duration >= 1 && duration <= 99)).toBe(true);
      }
    }
  });
});
