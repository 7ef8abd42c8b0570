/** A new shop runs on UTC until somebody says where it is: the zone of this computer is offered, with one press. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { siteQuery, useSaveSite } from "../../client/shop.ts";
import { Failure, Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { siteInputOf } from "../setup/site-input.ts";

const w = words.start;

export function ZoneOffer() {
  const { value, revision } = useSuspenseQuery(siteQuery).data;
  const save = useSaveSite();
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (value.zone === here) return null;
  return (
    <>
      {save.isError ? <Failure error={save.error} /> : null}
      <Notice
        kind="warn"
        title={w.zoneTitle(value.zone)}
        actions={
          <span className="row">
            <button
              type="button"
              className="button"
              disabled={save.isPending}
              onClick={() => save.mutate({ value: { ...siteInputOf(value), zone: here }, revision })}
            >
              {w.zoneUse(here)}
            </button>
            <Link className="button" to="/setup/site">
              {w.zoneOther}
            </Link>
          </span>
        }
      >
        {w.zoneText}
      </Notice>
    </>
  );
}
