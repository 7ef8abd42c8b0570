/**
 * Calendar text against a parser that is not ours (node-ical): instants across both clock changes of two zones, folding at 75
 * octets, escaping, cancelled events, busy periods. What RFC 5545 says of the bytes themselves is read from the bytes.
 */
import ical from "node-ical";
import { expect, test } from "vitest";
import { busyText, type EventToWrite, eventsText } from "../../../src/server/feeds/calendar-text.ts";

const at = (instant: string): Date => new Date(instant);
const event = (uid: string, start: string, end: string, more: Partial<EventToWrite> = {}): EventToWrite => ({
  uid,
  sequence: 0,
  start: at(start),
  end: at(end),
  changedAt: at("2026-03-01T08:00:00Z"),
  cancelled: false,
  body: { summary: uid, place: "Mill 1", text: "", busy: "BUSY" },
  ...more,
});

const read = (text: string) =>
  new Map(Object.values(ical.sync.parseICS(text)).flatMap((part) => (part && "uid" in part ? [[part.uid, part]] : [])));

/** Lines as they are sent, and as RFC 5545 (3.1) unfolds them. */
const sentLines = (text: string): string[] => text.split("\r\n");
const unfolded = (text: string): string[] => text.replaceAll(/\r\n[ \t]/g, "").split("\r\n");

// trade facts T3-T7: IANA tz data; the clocks of the EU change on 29 March and 25 October 2026 at 01:00 UTC, New York's on 8 March and 1 November
test.each([
  ["Europe/Berlin", "2026-03-29T00:00:00Z"],
  ["Europe/Berlin", "2026-10-25T00:00:00Z"],
  ["America/New_York", "2026-03-08T06:00:00Z"],
  ["America/New_York", "2026-11-01T05:00:00Z"],
])("every quarter of an hour around the clock change of %s after %s reads back as the same instant", (zone, from) => {
  const quarters = Array.from({ length: 16 }, (_, i) => new Date(Date.parse(from) - 3_600_000 + i * 900_000).toISOString());
  const events = quarters.map((start, i) => event(`q${i}`, start, new Date(Date.parse(start) + 36 * 3_600_000).toISOString()));
  const parsed = read(eventsText("Mill 1", zone, events));
  for (const { uid, start, end } of events) {
    const back = parsed.get(`${uid}@slotwright`) as unknown as { start: Date; end: Date };
    expect({ uid, start: back.start.toISOString(), end: back.end.toISOString() }).toEqual({
      uid,
      start: start.toISOString(),
      end: end.toISOString(),
    });
  }
});

test("local times name a zone that the calendar describes; what occurs twice is in UTC", () => {
  const text = eventsText("Mill 1", "Europe/Berlin", [
    event("first", "2026-10-25T00:30:00Z", "2026-10-25T12:00:00Z"), // 02:30, first time
    event("once", "2026-10-24T00:30:00Z", "2026-10-24T12:00:00Z"),
    event("second", "2026-10-25T01:30:00Z", "2026-10-25T12:00:00Z"), // 02:30 again
  ]);
  const lines = unfolded(text);
  expect(lines).toContain("DTSTART:20261025T003000Z");
  expect(lines).toContain("DTSTART:20261025T013000Z");
  expect(lines).toContain("DTSTART;TZID=Europe/Berlin:20261024T023000");
  expect(lines).toContain("DTEND;TZID=Europe/Berlin:20261024T140000");
  expect(lines.filter((line) => line === "TZID:Europe/Berlin")).toHaveLength(1);
  expect(lines).toContain("TZOFFSETTO:+0200");
  expect(lines).toContain("TZOFFSETTO:+0100");
  // a UTC shop needs no rules, and an empty calendar still has a component (RFC 5545, 3.6)
  expect(eventsText("Mill 1", "UTC", [event("a", "2026-10-25T00:30:00Z", "2026-10-25T12:00:00Z")])).toContain(
    "DTSTART:20261025T003000Z",
  );
  expect(unfolded(eventsText("Mill 1", "UTC", []))).toContain("BEGIN:VTIMEZONE");
});

test("lines are folded at 75 octets and text is escaped, and both come back whole", () => {
  const summary = `Prüfling; "Größe 7", C:\\plan\\alt, ${"Gehäuse bohren, ".repeat(20)}👍`;
  const text = eventsText("Mill; 1", "Europe/Berlin", [
    event("a", "2026-06-01T06:00:00Z", "2026-06-01T08:00:00Z", {
      body: { summary, place: "Mill 1, hall; south", text: "one\ntwo; three, four\\five", busy: "BUSY" },
    }),
  ]);
  expect(Math.max(...sentLines(text).map((line) => Buffer.byteLength(line, "utf8")))).toBeLessThanOrEqual(75);
  expect(text.endsWith("END:VCALENDAR\r\n")).toBe(true);
  expect(text.replaceAll("\r\n", "")).not.toMatch(/[\r\n]/);
  // RFC 5545, 3.3.11: backslash, semicolon and comma are escaped, a line break is \\n, quotes and colons stay
  expect(unfolded(text)).toContain("DESCRIPTION:one\\ntwo\\; three\\, four\\\\five");
  const back = read(text).get("a@slotwright") as unknown as Record<string, unknown>;
  expect(back).toMatchObject({ summary, location: "Mill 1, hall; south", description: "one\ntwo; three, four\\five" });
});

test("a cancelled event keeps its UID, says CANCELLED and takes no time; the same events give the same bytes", () => {
  const cancelled = event("a", "2026-06-01T06:00:00Z", "2026-06-01T08:00:00Z", { cancelled: true, sequence: 4 });
  const text = eventsText("Mill 1", "Europe/Berlin", [cancelled]);
  const back = read(text).get("a@slotwright") as unknown as Record<string, unknown>;
  expect(back).toMatchObject({ status: "CANCELLED", transparency: "TRANSPARENT", sequence: 4 });
  expect((back.dtstamp as Date).toISOString()).toBe("2026-03-01T08:00:00.000Z");
  expect(eventsText("Mill 1", "Europe/Berlin", [cancelled])).toBe(text);
});

test("busy periods are in UTC, in order, without overlap, inside the span", () => {
  const text = busyText(
    "Mill 1",
    { uid: "feed", from: at("2026-10-24T00:00:00Z"), until: at("2026-10-26T00:00:00Z"), changedAt: at("2026-10-01T00:00:00Z") },
    [
      { start: at("2026-10-23T20:00:00Z"), end: at("2026-10-24T02:00:00Z"), type: "BUSY" },
      { start: at("2026-10-24T02:00:00Z"), end: at("2026-10-24T04:00:00Z"), type: "BUSY" },
      { start: at("2026-10-25T00:30:00Z"), end: at("2026-10-25T06:00:00Z"), type: "BUSY" },
      { start: at("2026-10-25T01:00:00Z"), end: at("2026-10-25T03:00:00Z"), type: "BUSY-UNAVAILABLE" },
    ],
  );
  const busy = Object.values(ical.sync.parseICS(text)).find((part) => part?.type === "VFREEBUSY") as unknown as {
    freebusy: { type: string; start: Date; end: Date }[];
  };
  expect(busy.freebusy.map(({ type, start, end }) => [type, start.toISOString(), end.toISOString()])).toEqual([
    ["BUSY", "2026-10-24T00:00:00.000Z", "2026-10-24T04:00:00.000Z"],
    ["BUSY", "2026-10-25T00:30:00.000Z", "2026-10-25T01:00:00.000Z"],
    ["BUSY-UNAVAILABLE", "2026-10-25T01:00:00.000Z", "2026-10-25T03:00:00.000Z"],
    ["BUSY", "2026-10-25T03:00:00.000Z", "2026-10-25T06:00:00.000Z"],
  ]);
});
