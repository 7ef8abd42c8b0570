/** A whole shop in and out, and the demo shop. */
import { z } from "zod";
import { type ImportAnswer, importAnswerSchema } from "../../src/contract/api/shop-file.ts";
import { API, command, request } from "./request.ts";

export const EXPORT_ADDRESS = `${API}/shop/export`;

export const importShop = async (
  file: unknown,
  options: { readonly replace: boolean; readonly live: boolean },
): Promise<ImportAnswer> =>
  (
    await request(importAnswerSchema, "/shop", {
      method: "PUT",
      body: file,
      query: { replace: String(options.replace), clock: options.live ? "live" : "file" },
    })
  ).value;

/** The problem file as the server writes it. */
export const exportShop = async (): Promise<unknown> => (await request(z.unknown(), "/shop/export")).value;

/** Only into an empty shop. */
export const loadDemo = (): Promise<void> => command("/shop/demo", { method: "POST" });
