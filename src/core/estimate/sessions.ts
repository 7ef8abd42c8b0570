/**
 * Cuts test time into sessions: as few as their longest allows, as even as whole minutes allow, none shorter than the shortest -
 * or says which shortest session would do. A campaign that fits in one session is one, however short.
 */
import { err, type Fault, ok, type Result } from "../ground/result.ts";

/** A campaign of more sessions than this is a slip of the pen. */
export const SESSIONS_MOST = 200;

export function cutIntoSessions(minutes: number, least: number, most: number): Result<readonly number[], Fault> {
  if (least > most)
    return err({
      at: "sessionLeast",
      message: `${least} min is more than the longest session of ${most} min; expected at most that`,
    });
  if (minutes <= most) return ok([minutes]);
  const count = Math.ceil(minutes / most);
  if (count > SESSIONS_MOST)
    return err({
      at: "sessionMost",
      message: `${minutes} min in sessions of ${most} min are ${count} sessions; expected at most ${SESSIONS_MOST}: ask for longer sessions`,
    });
  const even = Math.floor(minutes / count);
  if (even < least)
    return err({
      at: "sessionLeast",
      message: `${minutes} min take at least ${count} sessions of at most ${most} min, ${even} min each; expected a shortest session of at most ${even} min`,
    });
  const longer = minutes - even * count;
  return ok(Array.from({ length: count }, (_, i) => even + (i < longer ? 1 : 0)));
}
