/** The built screens: hashed files for good, the page itself never from a cache, and every unknown path is the page's own route. */
import { existsSync } from "node:fs";
import path from "node:path";
import express, { Router } from "express";

const YEAR_SECONDS = 31_536_000;

export function webFiles(folder: string): Router {
  const router = Router();
  const page = path.join(folder, "index.html");
  router.use(
    express.static(folder, {
      index: false,
      redirect: false,
      setHeaders: (response, file) => {
        // Vite puts a hash of the content into the names under assets/, so such a file never changes.
        response.setHeader(
          "Cache-Control",
          file.startsWith(path.join(folder, "assets")) ? `public, max-age=${YEAR_SECONDS}, immutable` : "no-cache",
        );
      },
    }),
  );
  router.get("/{*path}", (request, response, next) => {
    if (path.extname(request.path) !== "" || !request.accepts("html")) return next();
    if (!existsSync(page)) {
      response
        .status(503)
        .type("text/plain")
        .send("The screens are not built: run `npm run build`. The API is up at /api/v1 (reference: /api/v1/docs).\n");
      return;
    }
    response.setHeader("Cache-Control", "no-cache");
    response.sendFile(page);
  });
  return router;
}
