/**
 * The rules of the house as functions over source files: which part may import which, what the core must not touch, how
 * files begin and are called. Pure, so that each rule is tried on invented offenders as well as on the house itself.
 * Reads imports by pattern, not by a parser: it sees static and dynamic imports written with a literal.
 */
import path from "node:path";

export type SourceFile = Readonly<{ place: string; text: string }>;
export type Rule = Readonly<{ name: string; offences(files: readonly SourceFile[]): readonly string[] }>;

/** The one law: each part and what it may import. */
const PARTS: Readonly<Record<string, readonly string[]>> = {
  core: ["core"],
  contract: ["core", "contract"],
  seed: ["core", "contract", "seed"],
  threads: ["core", "threads"],
  server: ["core", "contract", "seed", "threads", "server"],
  cli: ["core", "contract", "threads", "cli"],
  web: ["core", "contract", "web"],
  tests: ["core", "contract", "seed", "threads", "server", "cli", "web", "tests"],
};

/** The rooms of the core in the order in which data walks through them; a room imports itself and rooms before it. */
const ROOMS: readonly string[] = [
  "ground",
  "calendar",
  "plant",
  "orders",
  "estimate",
  "problem",
  "solve",
  "check",
  "plan",
  "explain",
  "risk",
  "scenario",
  "track",
];
const STRANGERS = [
  ["solve", "check"],
  ["check", "solve"],
] as const;

/** A package, the places that may import it, and why nobody else. */
const DOORS: readonly (readonly [what: RegExp, allowed: RegExp, why: string])[] = [
  [/^@prisma\/|\/generated\//, /^src\/server\/(store|generated)\/|^src\/server\/start\/schema-/, "Prisma stays in server/store"],
  [/^express$/, /^src\/server\/(api|access)\//, "Express stays in server/api"],
  [/^(node:)?worker_threads$/, /^src\/(threads|server\/queue)\//, "threads stay in src/threads and server/queue"],
  [/^(ical\.js|timezones-ical-library)$/, /^src\/server\/feeds\//, "calendar text is written in server/feeds"],
  [/^pg-boss$/, /^src\/server\/queue\//, "the job queue stays in server/queue"],
  [/^luxon$/, /^src\/core\/calendar\/|^src\/(contract|server|cli)\/|^(seed|web)\//, "in the core, dates stay in calendar"],
  [/^(node:|pg$)/, /^src\/(threads|server|cli)\/|^seed\//, "core, contract and screens do not know node"],
  [/^react/, /^web\/(?!board\/)/, "only the screens know React, and the board's arithmetic does not"],
];

const CORE_PACKAGES = /^luxon$/;
const CONTRACT_PACKAGES = /^(zod|luxon|jsonc-parser)$/;

const IMPURE =
  /\b(Date\s*\.\s*now|new\s+Date\b(?!\s*\(\s*[^)\s])|(?<!new\s+)Date\s*\(|performance\s*\.|Math\s*\.\s*random|process\s*\.|console\s*\.|setTimeout|setInterval|queueMicrotask|fetch\s*\(|await\b|async\b|globalThis|crypto\s*\.|DateTime\s*\.\s*(now|local)\s*\(\s*\))/;

const FORBIDDEN_NAME = /^(utils?|helpers?|common|misc|managers?|shared)$/;
const FORBIDDEN_FILE = /^(types|index|utils?|helpers?|common|constants|misc)\.(ts|tsx|mjs)$/;

export function partOf(place: string): string {
  const [first = "", second = ""] = place.split("/");
  return first === "src" ? second : first;
}

function roomOf(place: string): string | undefined {
  const [src, core, room, file] = place.split("/");
  return src === "src" && core === "core" && file !== undefined ? room : undefined;
}

type Import = Readonly<{ from: string; what: string; target: string | undefined; onlyTypes: boolean }>;

function importsOf(file: SourceFile): readonly Import[] {
  const code = file.text.replaceAll(/\/\*[\s\S]*?\*\//g, "").replaceAll(/^\s*\/\/.*$/gm, "");
  const found: Import[] = [];
  const pattern = /^\s*(?:import|export)\s+(type\s+)?(?:[^'";]*?\sfrom\s+)?["']([^"']+)["']|\bimport\(\s*["']([^"']+)["']\s*\)/gm;
  for (const match of code.matchAll(pattern)) {
    const what = match[2] ?? match[3] ?? "";
    const target = what.startsWith(".") ? path.posix.join(path.posix.dirname(file.place), what) : undefined;
    found.push({ from: file.place, what, target, onlyTypes: match[1] !== undefined });
  }
  return found;
}

/** The code without comments and strings, but with what templates compute: what a word in it does, it does for real. */
function bareCode(text: string): string {
  const tokens = /\/\*[\s\S]*?\*\/|\/\/[^\n]*|"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\[\s\S])*`/g;
  return text.replaceAll(tokens, (token) => {
    if (token.startsWith("/")) return "";
    if (!token.startsWith("`")) return '""';
    return `"" ${[...token.matchAll(/\$\{([^}]*)\}/g)].map((match) => match[1]).join(" ")}`;
  });
}

function perImport(name: string, judge: (one: Import) => string | undefined): Rule {
  return {
    name,
    offences: (files) =>
      files
        .filter((file) => partOf(file.place) !== "tests")
        .flatMap(importsOf)
        .flatMap((one) => {
          const fault = judge(one);
          return fault === undefined ? [] : [`${one.from} imports ${one.what}: ${fault}`];
        }),
  };
}

function perFile(name: string, judge: (file: SourceFile) => string | undefined): Rule {
  return {
    name,
    offences: (files) =>
      files.flatMap((file) => {
        const fault = judge(file);
        return fault === undefined ? [] : [`${file.place}: ${fault}`];
      }),
  };
}

const importLaw = perImport("core <- contract, threads <- server, cli; web knows core and contract only", ({ from, target }) => {
  if (target === undefined) return undefined;
  const [own, other] = [partOf(from), partOf(target)];
  const allowed = PARTS[own];
  if (allowed === undefined) return `there is no part ${own}`;
  return allowed.includes(other) ? undefined : `${own} may import ${allowed.join(", ")}`;
});

const roomLaw = perImport("a room of the core imports rooms before it; solve and check are strangers", ({ from, target }) => {
  const own = roomOf(from);
  if (own === undefined || target === undefined) return undefined;
  const other = roomOf(target);
  if (other === undefined) return undefined; // another part: the import law's business
  const rank = (room: string): number => ROOMS.indexOf(room);
  if (rank(own) < 0 || rank(other) < 0) return `there is no room ${rank(own) < 0 ? own : other}`;
  if (STRANGERS.some(([a, b]) => a === own && b === other)) return `${own} and ${other} never import each other`;
  return rank(other) > rank(own) ? `${other} comes after ${own}` : undefined;
});

const packageLaw = perImport("packages are used where they belong", ({ from, what, target }) => {
  const own = partOf(from);
  const name = target ?? what;
  for (const [pattern, allowed, why] of DOORS) if (pattern.test(name) && !allowed.test(from)) return why;
  if (target !== undefined) return undefined;
  if (own === "core" && !CORE_PACKAGES.test(what)) return "the core uses no package but luxon";
  if (own === "contract" && !CONTRACT_PACKAGES.test(what)) return "the contract uses zod and readers of text only";
  return undefined;
});

const extensionLaw = perImport("imports name the file", ({ what, target }) =>
  target === undefined || /\.(ts|tsx|mjs|css|json|svg)(\?\w+)?$/.test(what) ? undefined : "give the file with its extension",
);

const pureCore = perFile("the core is pure: no clock, no chance, no waiting, no outside", ({ place, text }) => {
  if (partOf(place) !== "core") return undefined;
  const found = IMPURE.exec(bareCode(text));
  return found ? `uses ${found[0].trim()}` : undefined;
});

const purpose = perFile("every file opens with its purpose", ({ text }) => {
  const comment = /^(?:#!.*\n)?(?:\/\*\*?([\s\S]*?)\*\/|((?:\/\/.*\n)+))/.exec(text);
  const words = (comment?.[1] ?? comment?.[2] ?? "").split(/[^\p{L}]+/u).filter((word) => word.length > 1);
  return words.length >= 3 ? undefined : "does not begin with a sentence on what it is for";
});

const names = perFile("folders and files are called after what they hold", ({ place }) => {
  const parts = place.split("/");
  const file = parts.at(-1) ?? "";
  const folder = parts.slice(0, -1).find((part) => FORBIDDEN_NAME.test(part));
  if (folder !== undefined) return `a folder ${folder} says nothing`;
  return FORBIDDEN_FILE.test(file) ? `a file ${file} says nothing` : undefined;
});

const wholeRuns = perFile("no test is singled out or set aside", ({ place, text }) => {
  if (partOf(place) !== "tests") return undefined;
  const found = /\b(test|it|describe|suite)(\.\w+)*\.(only|skip|todo)\b|\b(fdescribe|fit|xit|xdescribe)\(/.exec(bareCode(text));
  return found ? `has ${found[0]}` : undefined;
});

const noSilencing = perFile("the compiler and the linter are not silenced", ({ place, text }) => {
  if (place === "tests/laws/house-rules.ts" || place === "tests/laws/house.test.ts") return undefined;
  const found = /@ts-(ignore|nocheck|expect-error)|eslint-disable|biome-ignore(?! \S+: \S+ \S+)/.exec(text);
  return found ? `has ${found[0]}${found[0].startsWith("biome") ? " without a reason" : ""}` : undefined;
});

const namedExports = perFile("exports have names", ({ place, text }) => {
  const forced = /^web\/vite\.config\.ts$|^tests\/.*-setup\.ts$/; // their tools ask for a default export
  return !forced.test(place) && /^export default\b/m.test(bareCode(text)) ? "exports a default" : undefined;
});

/** Value imports only: types are gone before anything runs. */
const noCircles: Rule = {
  name: "no circle of imports",
  offences(files) {
    const targets = new Map<string, readonly string[]>();
    for (const file of files) {
      const own = importsOf(file).filter((one) => !one.onlyTypes);
      targets.set(
        file.place,
        own.flatMap((one) => (one.target === undefined ? [] : [one.target])),
      );
    }
    const done = new Set<string>();
    const circles: string[] = [];
    const visit = (place: string, trail: readonly string[]): void => {
      const at = trail.indexOf(place);
      if (at >= 0) circles.push([...trail.slice(at), place].join(" -> "));
      if (at >= 0 || done.has(place)) return;
      for (const next of targets.get(place) ?? []) visit(next, [...trail, place]);
      done.add(place);
    };
    for (const place of targets.keys()) visit(place, []);
    return circles;
  },
};

export const RULES: readonly Rule[] = [
  importLaw,
  roomLaw,
  packageLaw,
  extensionLaw,
  pureCore,
  purpose,
  names,
  wholeRuns,
  noSilencing,
  namedExports,
  noCircles,
];
