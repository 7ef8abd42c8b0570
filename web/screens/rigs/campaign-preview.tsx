/** What comes of a campaign while it is filled in: hours, sessions, nights, the earliest window on each rig that can, and why others cannot. */
import type { FaultAtPointer } from "../../../src/contract/api/problem-details.ts";
import type { PlacesAnswer } from "../../../src/contract/api/questions/places.ts";
import type { CampaignOrder, CampaignTime } from "../../../src/contract/campaign/campaign-to-order.ts";
import type { RigVerdict } from "../../../src/contract/campaign/rig-choice.ts";
import type { Result } from "../../../src/core/ground/result.ts";
import type { Asking } from "../../client/question.ts";
import { HeadCell } from "../../parts/head-cell.tsx";
import { HowComputed } from "../../parts/term.tsx";
import { durationText } from "../../present/duration.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { AskingNote } from "../fit/asking-note.tsx";
import { RigReasons } from "./window-cards.tsx";

const w = words.rigs;
const { campaign: how } = words.how;

type PreviewProps = {
  readonly built: Result<CampaignOrder, readonly FaultAtPointer[]>;
  readonly hours: Result<CampaignTime, readonly FaultAtPointer[]>;
  readonly rigs: readonly RigVerdict[];
  readonly places: Asking<"places">;
  readonly time: SiteTime;
  readonly children: React.ReactNode;
};

export function CampaignPreview({ built, hours, rigs, places, time, children }: PreviewProps) {
  const unable = rigs.filter(({ reasons }) => reasons.length > 0);
  return (
    <aside className="campaign-preview" aria-label={w.preview}>
      <h2>{w.preview}</h2>
      {hours.ok ? <Hours time={hours.value} /> : <p className="quiet">{w.notYet}</p>}
      {rigs.length > 0 && unable.length === rigs.length ? <p className="strong">{w.noneAble}</p> : null}
      {built.ok ? (
        <>
          <h3>{w.onRigs}</h3>
          {places.answer === null ? (
            <AskingNote {...places} answered={false} />
          ) : (
            <PlaceTable answer={places.answer} nameOf={nameIn(rigs)} time={time} />
          )}
        </>
      ) : null}
      {unable.length > 0 ? (
        <>
          <h3>{w.cannot}</h3>
          <RigReasons rigs={unable} />
        </>
      ) : null}
      {children}
    </aside>
  );
}

export const nameIn =
  (rigs: readonly { readonly machines: readonly string[]; readonly name: string }[]) =>
  (machines: readonly string[]): string =>
    rigs.find((rig) => rig.machines.join() === machines.join())?.name ?? machines.join(" + ");

function Hours({ time }: { readonly time: CampaignTime }) {
  const [first = 0] = time.sessions;
  return (
    <dl className="campaign-figures">
      <dt>
        <HowComputed label={w.testTime} text={how.test} />
      </dt>
      <dd>
        {durationText(time.minutes)}, {w.inSessions(time.sessions.length, durationText(first))}
      </dd>
      <dt>
        <HowComputed label={w.aroundTime} text={how.around} />
      </dt>
      <dd>{durationText(time.aroundMinutes)}</dd>
    </dl>
  );
}

export function PlaceTable({
  answer,
  nameOf,
  time,
  act,
}: {
  readonly answer: PlacesAnswer;
  readonly nameOf: (machines: readonly string[]) => string;
  readonly time: SiteTime;
  readonly act?: (place: PlacesAnswer["places"][number]) => React.ReactNode;
}) {
  const c = w.rigColumns;
  return (
    <div className="table-frame">
      <table className="table">
        <thead>
          <tr>
            <th scope="col">{c.rig}</th>
            <HeadCell label={c.window} how={how.window} />
            <HeadCell label={c.nights} how={how.nights} />
            {answer.due === null ? null : <HeadCell label={c.late} how={how.late} />}
            {act ? (
              <th scope="col">
                <span className="out-of-sight">{c.act}</span>
              </th>
            ) : null}
          </tr>
        </thead>
        <tbody>
          {answer.places.map((place) => (
            <tr key={place.machines.join()}>
              <th scope="row">{nameOf(place.machines)}</th>
              <td>{w.span(time.dayTime(place.start), time.dayTime(place.end))}</td>
              <td>{w.nights(place.nights, durationText(place.nightMinutes))}</td>
              {answer.due === null ? null : (
                <td className={place.late > 0 ? "late" : undefined}>
                  {place.late > 0 ? w.late(durationText(place.late)) : w.inTime}
                </td>
              )}
              {act ? <td className="fit-hold-acts">{act(place)}</td> : null}
            </tr>
          ))}
          {answer.full.map((machines) => (
            <tr key={machines.join()}>
              <th scope="row">{nameOf(machines)}</th>
              <td colSpan={4} className="quiet">
                {w.noRoom}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {answer.places.length === 0 ? <p className="quiet">{w.noRoomAnywhere}</p> : null}
    </div>
  );
}
