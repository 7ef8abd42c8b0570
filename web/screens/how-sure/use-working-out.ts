/** Having the plan replayed: asks the worker, follows it, and has the shared answer read again when it is there. */
import { useQueryClient } from "@tanstack/react-query";
import { useEffect } from "react";
import { howSureQuery } from "../../client/how-sure.ts";
import { type Asking, useQuestion } from "../../client/question.ts";

export function useWorkingOut(): Asking<"risk"> {
  const asking = useQuestion("risk");
  const client = useQueryClient();
  const { state } = asking;
  useEffect(() => {
    if (state === "done") void client.invalidateQueries({ queryKey: howSureQuery.queryKey });
  }, [state, client]);
  return asking;
}
