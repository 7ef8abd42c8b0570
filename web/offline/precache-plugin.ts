/**
 * Builds the service worker after everything else, with the list of files that it keeps. Only for the build: while developing there
 * is none. (The usual plugin for this brings a whole compiler of its own; a list and one more build are all that is needed.)
 */
import { build, type Plugin } from "vite";

const WORKER_FILE = "offline.js";

/** Fonts for browsers that know no service workers. */
const LEFT_OUT = /\.woff$/;

const digest = async (bytes: Uint8Array<ArrayBuffer>): Promise<string> => {
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(hash.slice(0, 8), (byte) => byte.toString(16).padStart(2, "0")).join("");
};

export function precachePlugin(): Plugin {
  let place = { root: "", out: "", publicFolder: "" };
  return {
    name: "precache",
    apply: "build",
    configResolved({ root, build: { outDir }, publicDir }) {
      place = { root, out: `${root}/${outDir}`, publicFolder: publicDir };
    },
    async writeBundle(_options, bundle) {
      const { root, out, publicFolder } = place;
      const built = Object.keys(bundle).filter((file) => !LEFT_OUT.test(file));
      // Names under assets/ carry the hash of their content already.
      const hashed = built.filter((file) => file.startsWith("assets/")).map((file) => ({ url: `/${file}`, revision: null }));
      const named = [...built.filter((file) => !file.startsWith("assets/")), ...(await this.fs.readdir(publicFolder))];
      const others = await Promise.all(
        named.map(async (file) => ({
          url: `/${file}`,
          revision: await digest(new Uint8Array(await this.fs.readFile(`${out}/${file}`))),
        })),
      );
      await build({
        configFile: false,
        root,
        logLevel: "warn",
        define: { SHELL_FILES: JSON.stringify([...others, ...hashed]), "process.env.NODE_ENV": '"production"' },
        build: {
          outDir: out,
          emptyOutDir: false,
          copyPublicDir: false,
          target: "es2022",
          lib: { entry: `${root}/offline/shell-worker.ts`, formats: ["iife"], name: "offline", fileName: () => WORKER_FILE },
        },
      });
    },
  };
}
