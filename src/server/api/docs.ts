/** The reference page of the API, served from this machine alone: swagger-ui's files, pointed at our own document. */
import { createRequire } from "node:module";
import path from "node:path";
import express, { Router } from "express";

const INITIALIZER = `window.onload = () => {
  window.ui = SwaggerUIBundle({
    url: "../openapi.json", dom_id: "#swagger-ui", deepLinking: true, validatorUrl: null, tryItOutEnabled: true,
    presets: [SwaggerUIBundle.presets.apis, SwaggerUIStandalonePreset], layout: "BaseLayout",
  });
};
`;

export function docsPages(): Router {
  const router = Router();
  const folder = path.dirname(createRequire(import.meta.url).resolve("swagger-ui-dist/package.json"));
  router.get("/swagger-initializer.js", (_request, response) => void response.type("text/javascript").send(INITIALIZER));
  router.use(express.static(folder, { index: "index.html", maxAge: "1h" }));
  return router;
}
