/** Structured logs, one JSON object a line: to a file in the data folder when somebody sits at the terminal, else to stdout. */
import { mkdirSync } from "node:fs";
import path from "node:path";
import process from "node:process";
import { destination, type Logger, pino, stdSerializers } from "pino";

export function openLog(level: string, dataFolder: string | null): Logger {
  const options = { level, base: { pid: process.pid }, serializers: { error: stdSerializers.err } };
  if (dataFolder === null || !process.stdout.isTTY) return pino(options);
  mkdirSync(dataFolder, { recursive: true });
  return pino(options, destination({ dest: path.join(dataFolder, "server.log"), sync: false }));
}
