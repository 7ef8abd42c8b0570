// Lets a worker thread start from TypeScript, which Node 20 cannot do by itself. Only when running from the sources.
import process from "node:process";
import { register } from "tsx/esm/api";

register();
await import(process.argv[2]);
