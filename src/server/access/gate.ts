/** Who a request comes from. Knows nothing of routes; api/ compares the answer with the table. */
import type { IncomingMessage } from "node:http";
import type { Actor } from "../actions/actor.ts";
import { countAdministrators } from "../store/people-store.ts";
import type { StoreConnection } from "../store/store.ts";
import { DEMO_PLANNER, isLoopback } from "./first-administrator.ts";
import type { SignIn } from "./sign-in.ts";

export type Gate = {
  /** null: anonymous. */
  actorOf(request: IncomingMessage): Promise<Actor | null>;
  /** No administrator exists yet, and the request comes from this machine. */
  demoMode(request: IncomingMessage): Promise<boolean>;
};

export function openGate(store: StoreConnection, signIn: SignIn): Gate {
  let administrated = false; // never turns back: the last administrator cannot be removed
  const demoMode = async (request: IncomingMessage): Promise<boolean> => {
    if (administrated) return false;
    administrated = (await countAdministrators(store)) > 0;
    return !administrated && isLoopback(request);
  };
  return {
    demoMode,
    actorOf: async (request) => (await signIn.personOf(request.headers)) ?? ((await demoMode(request)) ? DEMO_PLANNER : null),
  };
}
