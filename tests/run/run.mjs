/**
 * `npm test`: from whatever state the clone is in, everything this project holds itself to, in one run.
 * Promises a last line `N passed, N failed` that counts every test and every step, an exit code that agrees with it, and that
 * nothing is left out silently: what cannot run here (no browser) is named. Plain node, because it installs the packages.
 *   --bail   stop at the first step that fails
 */
import { spawn } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import process from "node:process";
import {
  alone,
  buildServer,
  buildWeb,
  generateClient,
  install,
  requireNode,
  root,
  StepFailed,
  tool,
} from "../../src/server/start/prepare.mjs";

requireNode();
const bail = process.argv.includes("--bail");
const reports = fs.mkdtempSync(path.join(os.tmpdir(), "slotwright-test-run-"));
const count = { passed: 0, failed: 0, skipped: 0 };
/** Said once more at the end, where it is read. */
const failures = [];

process.exitCode = 1; // until the end says otherwise
try {
  await step("packages and database client", async () => {
    await alone(async () => {
      await install();
      await generateClient();
    });
  });
  if (count.failed === 0) await everything();
} finally {
  fs.rmSync(reports, { recursive: true, force: true });
}
if (failures.length > 0) console.log(`\nFailed:\n${failures.join("\n")}`);
const skipped = count.skipped > 0 ? ` (${count.skipped} skipped, named above)` : "";
if (skipped) console.log(`\n${skipped.trim()}`);
console.log(`${count.passed} passed, ${count.failed} failed`);
process.exitCode = count.failed === 0 ? 0 : 1;

async function everything() {
  await step("type check", () => alone(() => tool("Type check", "typescript/bin/tsc", ["-b"])));
  await step("lint", () => tool("Lint", "@biomejs/biome/bin/biome", ["check", "--error-on-warnings", "--max-diagnostics=50"]));
  // Before the tests: those of the command line then start the built one, in half the time.
  const built = await step("build", () => alone(() => buildServer(quiet).then(() => buildWeb(quiet))));
  // The last two wait a good part of their time, for the queue and for pages; the first takes what they leave of the processor.
  await Promise.all([
    tests("unit and property tests", ["unit", "web"], { quietly: true, behind: true }),
    tests("integration tests", ["integration"], { quietly: true }),
    built
      ? tests("browser tests", ["browser"])
      : step("browser tests", () => Promise.reject(new StepFailed("Browser tests need the build, which failed."))),
  ]);
}

function quiet() {}

async function step(title, work) {
  if (bail && count.failed > 0) return false;
  const began = performance.now();
  let trouble;
  try {
    await work();
  } catch (error) {
    trouble = error;
  }
  const seconds = ((performance.now() - began) / 1000).toFixed(1);
  if (trouble) {
    count.failed += 1;
    console.error(trouble instanceof StepFailed ? trouble.message : trouble);
  } else count.passed += 1;
  console.log(`${trouble ? "FAILED" : "passed"}: ${title} (${seconds} s)`);
  return !trouble;
}

/** `quietly`: beside another that prints as it goes, its output comes in one piece at its end. `behind`: the others go first. */
async function tests(title, projects, { quietly = false, behind = false } = {}) {
  if (bail && count.failed > 0) return;
  console.log(`\n${quietly ? "beside them: " : ""}${title}`);
  const report = path.join(reports, `${projects.join("-")}.json`);
  const args = ["run", "--passWithNoTests", "--reporter=default", "--reporter=json", `--outputFile.json=${report}`];
  const said = [];
  const code = await new Promise((resolve) => {
    const child = spawn(
      process.execPath,
      [path.join(root, "node_modules/vitest/vitest.mjs"), ...args, ...projects.flatMap((name) => ["--project", name])],
      { cwd: root, stdio: quietly ? ["ignore", "pipe", "pipe"] : ["ignore", "inherit", "inherit"] },
    );
    // Whatever it starts inherits this.
    if (behind && child.pid !== undefined) os.setPriority(child.pid, os.constants.priority.PRIORITY_BELOW_NORMAL);
    for (const stream of [child.stdout, child.stderr]) stream?.on("data", (chunk) => said.push(chunk));
    child.on("error", () => resolve(-1));
    child.on("close", resolve);
  });
  if (quietly) process.stdout.write(`\n${title}\n${Buffer.concat(said)}`);
  const result = fs.existsSync(report) ? JSON.parse(fs.readFileSync(report, "utf8")) : undefined;
  const failedBefore = count.failed;
  count.passed += result?.numPassedTests ?? 0;
  count.skipped += (result?.numPendingTests ?? 0) + (result?.numTodoTests ?? 0);
  count.failed += result?.numFailedTests ?? 0;
  // A file that does not even load has no tests to fail: it counts as one.
  for (const file of result?.testResults ?? []) {
    if (file.status === "failed" && !file.assertionResults.some((assertion) => assertion.status === "failed")) count.failed += 1;
  }
  for (const { assertionResults } of result?.testResults ?? [])
    for (const { status, fullName, failureMessages } of assertionResults) {
      if (status === "failed") failures.push(`- ${fullName}: ${failureMessages[0]?.split("\n")[0] ?? ""}`);
      if (status === "passed" && failureMessages.length > 0)
        console.log(`passed only at the second try: ${fullName}\n${failureMessages[0]}`);
    }
  if (code !== 0 && count.failed === failedBefore) count.failed += 1; // an error outside any test, or no report at all
  console.log(`${count.failed > failedBefore ? "FAILED" : "passed"}: ${title}`);
}
