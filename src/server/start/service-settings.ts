/** What the environment may say about the server and its workers beyond where they run (settings.ts). */
import { z } from "zod";
import { StartRefused } from "./settings.ts";

const CENTURY_MINUTES = 100 * 365 * 1440;

const environment = z.object({
  LOG_LEVEL: z.enum(["silent", "error", "warn", "info", "debug"]).default("info"),
  PUBLIC_URL: z.url({ protocol: /^https?$/ }).optional(),
  /** How many proxies in front set X-Forwarded-For. */
  PROXIES: z.coerce.number().int().min(0).max(10).optional(),
  SOLVER_THREADS: z.coerce.number().int().min(1).max(64).optional(),
  DEMO: z.enum(["yes", "no"]).default("yes"),
  /** Whole minutes, negative for behind: the shop as it would be at another hour, for journeys in tests and for looking around. */
  CLOCK_AHEAD_MINUTES: z.coerce.number().int().min(-CENTURY_MINUTES).max(CENTURY_MINUTES).default(0),
});

export type ServiceSettings = Readonly<{
  logLevel: string;
  /** The address people use, when it is not this machine's; https makes cookies secure. */
  publicUrl: string | undefined;
  proxies: number | undefined;
  solverThreads: number | undefined;
  /** Load the demo shop into an empty database. */
  demo: boolean;
  /** What the shop takes for now. */
  clock: () => Date;
}>;

export function readServiceSettings(variables: Readonly<Record<string, string | undefined>>): ServiceSettings {
  const set = Object.fromEntries(Object.entries(variables).filter(([, value]) => value !== undefined && value !== ""));
  const read = environment.safeParse(set);
  if (!read.success)
    throw new StartRefused(
      `The environment is not usable. ${read.error.issues.map((issue) => `${issue.path.map(String).join(".")}: ${issue.message}`).join("; ")}.`,
    );
  const { LOG_LEVEL, PUBLIC_URL, PROXIES, SOLVER_THREADS, DEMO, CLOCK_AHEAD_MINUTES } = read.data;
  return {
    logLevel: LOG_LEVEL,
    publicUrl: PUBLIC_URL,
    proxies: PROXIES,
    solverThreads: SOLVER_THREADS,
    demo: DEMO === "yes",
    clock: () => new Date(Date.now() + CLOCK_AHEAD_MINUTES * 60_000),
  };
}
