/** Accounts, for administrators. */
import { queryOptions, useMutation, useQueryClient } from "@tanstack/react-query";
import type { z } from "zod";
import { type newUserSchema, type UserView, type userChangeSchema, userListSchema } from "../../src/contract/api/session.ts";
import { command, request, segment } from "./request.ts";

export type NewUser = z.infer<typeof newUserSchema>;
export type UserChange = z.infer<typeof userChangeSchema>;

const KEY = ["accounts"] as const;

export const accountsQuery = queryOptions({
  queryKey: KEY,
  queryFn: async ({ signal }): Promise<readonly UserView[]> => (await request(userListSchema, "/users", { signal })).value.items,
});

export function useAccountChanges() {
  const client = useQueryClient();
  const onSuccess = (): Promise<void> => client.invalidateQueries({ queryKey: KEY });
  return {
    add: useMutation({ mutationFn: (body: NewUser) => command("/users", { method: "POST", body }), onSuccess }),
    change: useMutation({
      mutationFn: ({ id, body }: { readonly id: string; readonly body: UserChange }) =>
        command(`/users/${segment(id)}`, { method: "PUT", body }),
      onSuccess,
    }),
    remove: useMutation({ mutationFn: (id: string) => command(`/users/${segment(id)}`, { method: "DELETE" }), onSuccess }),
  };
}
