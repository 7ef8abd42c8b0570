/** The plan board: reads the draft, shows it, and turns what planners do into edits. The drawing lives in board/, memory in the controller. */
import { useQuery, useQueryClient } from "@tanstack/react-query";
import { Link, useSearch } from "@tanstack/react-router";
import { useEffect, useMemo } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { PLANNERS, planQuery, keys as queryKeys, useMay, useSession } from "../../client/shop.ts";
import { Empty, Loading } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { PlanBoard } from "./plan-board.tsx";
import "./plan-board.css";

const DAY = 1440;

export function PlanBoardScreen() {
  // Not suspended: React holds back what comes out of a suspended part until 300 ms after its fallback was shown, however early it is
  // there. With nothing to show, trouble goes to the page's own boundary, as it would from a suspended part.
  const { data: view } = useQuery({ ...planQuery, throwOnError: (_, query) => query.state.data === undefined });
  const client = useQueryClient();
  const mayEdit = useMay(PLANNERS);
  const { user } = useSession();
  const { from, until, machine, order, chain } = useSearch({ from: "/" });
  const place = useMemo(
    () => (from === undefined ? null : { from, until: until ?? from + DAY, machine: machine ?? null }),
    [from, until, machine],
  );
  useEffect(() => {
    document.title = `${words.board.title} - ${words.shell.product}`;
  }, []);
  if (!view) return <Loading />;
  if (view.problem.machines.length === 0 && view.problem.operations.length === 0) {
    return (
      <div className="page">
        <br />
        <Empty
          title={words.board.empty.title}
          actions={
            <Link className="button button-main" to="/start">
              {words.board.empty.act}
            </Link>
          }
        >
          {words.board.empty.text}
        </Empty>
      </div>
    );
  }
  return (
    <PlanBoard
      view={view}
      me={user}
      mayEdit={mayEdit}
      place={place}
      order={order}
      chain={chain === 1}
      onView={(next) => client.setQueryData<PlanView>(queryKeys.plan, next) ?? next}
      onStale={() => void client.invalidateQueries({ queryKey: queryKeys.plan })}
    />
  );
}
