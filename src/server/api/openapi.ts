/** The OpenAPI 3.1 page, made from the same table the server runs on; it cannot describe what does not exist. */
import { OpenAPIRegistry, OpenApiGeneratorV31, type RouteConfig } from "@asteasolutions/zod-to-openapi";
import { problemDetailsSchema } from "../../contract/api/problem-details.ts";
import type { Route } from "./route.ts";

const WORDS: Readonly<Record<number, string>> = { 200: "As asked", 201: "Made", 202: "Accepted", 204: "Done" };

export function openApiDocument(routes: readonly Route[], version: string) {
  const registry = new OpenAPIRegistry();
  registry.registerComponent("securitySchemes", "session", { type: "apiKey", in: "cookie", name: "slotwright.session_token" });
  for (const route of routes) registry.registerPath(described(route));
  return new OpenApiGeneratorV31(registry.definitions).generateDocument({
    openapi: "3.1.0",
    info: {
      title: "Slotwright",
      version,
      description:
        "Minutes count from the site's origin. Errors are RFC 9457 problem details. A revision is the ETag to send in If-Match.",
    },
    servers: [{ url: "/api/v1" }],
  });
}

function described(route: Route): RouteConfig {
  const trouble = { content: { "application/problem+json": { schema: problemDetailsSchema } } };
  const headers = route.ifMatch
    ? {
        parameters: [
          {
            name: "If-Match",
            in: "header" as const,
            required: false,
            schema: { type: "string" as const },
            description:
              route.ifMatch === "required"
                ? "ETag of what is replaced; without it an existing thing answers 428."
                : "ETag of the draft that was looked at.",
          },
        ],
      }
    : {};
  return {
    method: route.method,
    path: route.path.replaceAll(/:(\w+)/g, "{$1}"),
    summary: route.summary,
    tags: [route.tag],
    description: route.allowed === "anyone" ? "For anyone." : `For ${route.allowed.join(", ")}.`,
    security: route.allowed === "anyone" ? [] : [{ session: [] }],
    ...headers,
    request: {
      ...(route.params ? { params: route.params } : {}),
      ...(route.query ? { query: route.query } : {}),
      ...(route.body ? { body: { required: true, content: { "application/json": { schema: route.body } } } } : {}),
    },
    responses: {
      ...Object.fromEntries(
        Object.entries(route.answers).map(([status, schema]) => [
          status,
          { description: WORDS[Number(status)] ?? "Answer", ...(schema ? { content: { "application/json": { schema } } } : {}) },
        ]),
      ),
      default: { description: "Why not", ...trouble },
    },
  };
}
