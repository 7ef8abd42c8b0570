/** The command line of a process by its number, '' when there is none or it cannot be known. Tells a reused number from the old one. */
import { execFile } from "node:child_process";
import fs from "node:fs/promises";
import process from "node:process";
import { promisify } from "node:util";

export async function commandOf(pid: number): Promise<string> {
  if (!Number.isInteger(pid) || pid <= 0) return "";
  try {
    if (process.platform === "linux") return (await fs.readFile(`/proc/${pid}/cmdline`, "utf8")).replaceAll("\0", " ").trim();
    return (await promisify(execFile)("ps", ["-p", String(pid), "-o", "command="])).stdout.trim();
  } catch {
    return "";
  }
}
