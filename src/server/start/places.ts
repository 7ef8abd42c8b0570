/**
 * Where things lie on disk, from the sources as well as from the build: every path starts at the folder of package.json.
 * Promises paths only; none of them need exist.
 */
import { existsSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";

function findRoot(): string {
  for (let folder = path.dirname(fileURLToPath(import.meta.url)); ; folder = path.dirname(folder)) {
    if (existsSync(path.join(folder, "package.json"))) return folder;
    if (path.dirname(folder) === folder) throw new Error("No package.json above the server's files.");
  }
}

export const ROOT_FOLDER = findRoot();
export const MIGRATIONS_FOLDER = path.join(ROOT_FOLDER, "prisma", "migrations");
export const SCHEMA_FILE = path.join(ROOT_FOLDER, "prisma", "schema.prisma");
/** What `vite build` wrote: index.html and assets. */
/** Names what the compiled contract was built from (prepare.mjs). */
export const CONTRACT_FILE = path.join(ROOT_FOLDER, "dist", "contract.txt");
export const WEB_FOLDER = path.join(ROOT_FOLDER, "dist", "web");
