/** One query client: refusals are not retried, a lost network is; what was read stays on screen meanwhile. */
import { QueryClient } from "@tanstack/react-query";
import { ApiProblem, UnexpectedAnswer } from "./api-problem.ts";

const RETRIES_MAX = 2;

export const queryClient = new QueryClient({
  defaultOptions: {
    queries: {
      // The browser's own idea of being online says nothing about a server in the same building: always try.
      networkMode: "always",
      staleTime: 15_000,
      gcTime: 30 * 60_000,
      retry: (count, error) => !(error instanceof ApiProblem) && !(error instanceof UnexpectedAnswer) && count < RETRIES_MAX,
      refetchOnWindowFocus: true,
    },
    mutations: { retry: false, networkMode: "always" },
  },
});
