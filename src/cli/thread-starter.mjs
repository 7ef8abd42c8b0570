// Lets a worker thread start from TypeScript when the command line runs from source (Node 20 takes no .ts entry).
import { register } from "tsx/esm/api";

register();
await import(process.argv[2]);
