/**
 * Whether a container engine answers. A `docker` command on the path proves nothing, and a socket that accepts and then
 * stays silent holds testcontainers up for most of a minute: so it is asked for a sign of life first, with a time limit.
 */
import { existsSync } from "node:fs";
import http from "node:http";
import os from "node:os";
import path from "node:path";
import process from "node:process";

export async function containerEngineAnswers(withinMs = 1_000): Promise<boolean> {
  for (const host of engineHosts()) if (await answersPing(host, withinMs)) return true;
  return false;
}

function engineHosts(): readonly string[] {
  if (process.env.DOCKER_HOST) return [process.env.DOCKER_HOST];
  if (process.platform === "win32") return ["npipe:////./pipe/docker_engine"];
  const home = os.homedir();
  const sockets = ["/var/run/docker.sock", path.join(home, ".docker/run/docker.sock"), path.join(home, ".rd/docker.sock")];
  const runtime = process.env.XDG_RUNTIME_DIR;
  if (runtime) sockets.push(path.join(runtime, "docker.sock"), path.join(runtime, "podman/podman.sock"));
  return sockets.filter((socket) => existsSync(socket)).map((socket) => `unix://${socket}`);
}

function answersPing(host: string, withinMs: number): Promise<boolean> {
  const url = new URL(host.replace(/^tcp:/, "http:"));
  const where: http.RequestOptions =
    url.protocol === "unix:"
      ? { socketPath: url.pathname }
      : url.protocol === "npipe:"
        ? { socketPath: "\\\\.\\pipe\\docker_engine" }
        : { host: url.hostname, port: url.port || 2375 };
  return new Promise((resolve) => {
    const request = http.get({ ...where, path: "/_ping" }, (response) => {
      response.resume();
      resolve(response.statusCode === 200);
    });
    request.on("error", () => resolve(false));
    setTimeout(() => {
      request.destroy();
      resolve(false);
    }, withinMs).unref();
  });
}
