/** The words that stand on the canvas, finished, in the reader's language and the site's time. */
import { dateOfDay, wallTimeOfMinutes } from "../../../src/core/calendar/wall-clock.ts";
import type { BoardModel } from "../../board/board-model.ts";
import type { StripChoice, StripProfile } from "../../board/demand.ts";
import { haveOf, needOf, shortages } from "../../board/demand.ts";
import type { PaintWords } from "../../board/paint/surface.ts";
import { peopleText } from "../../present/amounts.ts";
import { durationText } from "../../present/duration.ts";
import { LOCALE } from "../../present/locale.ts";
import type { SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";

const monthYear = new Intl.DateTimeFormat(LOCALE, { month: "short", year: "numeric", timeZone: "UTC" });
const dayMonth = new Intl.DateTimeFormat(LOCALE, { day: "numeric", month: "short", timeZone: "UTC" });
const weekday = new Intl.DateTimeFormat(LOCALE, { weekday: "short", timeZone: "UTC" });
const dateOf = (day: number): Date => new Date(`${dateOfDay(day)}T00:00:00Z`);

/** Formatting dates is slow and the axis asks for the same few over and over. */
const remembered = (make: (day: number) => string): ((day: number) => string) => {
  const known = new Map<number, string>();
  return (day) => {
    let text = known.get(day);
    if (text === undefined) {
      text = make(day);
      known.set(day, text);
    }
    return text;
  };
};
const dayName = remembered((day) => `${weekday.format(dateOf(day))} ${dayMonth.format(dateOf(day))}`);
const weekName = remembered((day) => dayMonth.format(dateOf(day)));
const monthName = remembered((day) => monthYear.format(dateOf(day)));

export function paintWords(time: SiteTime): PaintWords {
  const { paint } = words.board;
  return {
    machineOrRig: paint.machineOrRig,
    nextFree: paint.nextFree,
    benchGroup: paint.benchGroup,
    noGroup: paint.noGroup,
    benchRow: paint.benchRow,
    night: paint.night,
    closed: paint.closed,
    shift: paint.shift,
    now: paint.now,
    frozenUntil: paint.frozenUntil,
    publishedHere: paint.publishedHere,
    held: words.fit.heldUntil,
    waits: paint.waits,
    paused: paint.paused,
    duration: durationText,
    people: peopleText,
    dayName,
    weekName,
    monthName,
    clockTime: wallTimeOfMinutes,
    short: time.short,
  };
}

/** The strip for a choice, with what it is called. */
export function stripProfile(model: BoardModel, choice: StripChoice): StripProfile {
  const { strip } = words.board;
  const { crews, supplies, kits } = model.shop.problem;
  const name =
    choice.kind === "hands"
      ? strip.hands
      : choice.kind === "crew"
        ? crews.find(({ id }) => id === choice.id)?.name
        : choice.kind === "supply"
          ? supplies.find(({ id }) => id === choice.id)?.name
          : kits.find(({ id }) => id === choice.id)?.name;
  const people = choice.kind === "hands" || choice.kind === "crew";
  const unit = people ? "" : choice.kind === "supply" ? (supplies.find(({ id }) => id === choice.id)?.unit ?? "") : strip.pieces;
  return {
    choice,
    title: strip.needed(name ?? ""),
    notes: [people ? strip.lineHands : strip.lineAmount(unit), strip.crossed],
    need: needOf(model, choice),
    have: haveOf(model, choice),
    short: shortages(model, choice),
    scale: people ? 100 : 1,
    unit,
  };
}
