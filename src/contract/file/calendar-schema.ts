/** Calendars in files: the wall-clock rules of core/calendar/specification.ts, and single dated stretches on top of them. */
import { z } from "zod";
import { AMOUNT_MAX, date, entity, id, listOf, moment, name, notes, whole } from "./field.ts";

const wallTime = z
  .string()
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, "expected a wall-clock time, HH:MM from 00:00 to 23:59")
  .meta({ description: "Wall-clock time, HH:MM." });
const wallTimeEnd = z
  .string()
  .regex(/^(([01]\d|2[0-3]):[0-5]\d|24:00)$/, "expected a wall-clock time, HH:MM from 00:00 to 24:00")
  .meta({ description: "Wall-clock end, HH:MM or 24:00." });

const entryFields = {
  name: name.optional().meta({ description: "Name of the shift, for screens." }),
  from: wallTime.meta({ description: "Wall-clock begin, HH:MM." }),
  until: wallTimeEnd.meta({ description: "Wall-clock end, HH:MM or 24:00; not after `from`: on the next day." }),
  breaks: listOf(
    entity({ from: wallTime, until: wallTimeEnd }),
    "Breaks: nobody works (a machine is closed), yet people stay on site. A break before `from` lies on the next day.",
  ).default([]),
  people: whole(
    0,
    AMOUNT_MAX,
    "Headcount of this shift in hundredths of a person; left out: the crew's own. Machines ignore it.",
  ).optional(),
  unsocial: z.boolean().default(false).meta({ description: "Night, weekend and other hours that cost extra." }),
};

const calendarEntrySchema = entity(entryFields).meta({ id: "CalendarEntry", description: "Open hours that begin on one day." });

const contentSchema = z
  .union(
    [
      entity({ closed: z.literal(true).meta({ description: "Nothing begins on that day." }) }),
      entity({ entries: listOf(calendarEntrySchema, "What begins on that day instead of the weekly pattern.") }),
    ],
    { error: 'expected { "closed": true } or { "entries": [...] }' },
  )
  .meta({ id: "DayContent", description: "What begins on the special day: nothing, or other entries than in the week." });

const exceptionSchema = entity({
  name: name.optional(),
  date,
  last: date.optional().meta({ description: "Last date of a range, included." }),
  content: contentSchema,
}).meta({
  id: "CalendarException",
  description: "A special date or range of dates; wins over recurring rules and the week, later ones over earlier ones.",
});

const recurringSchema = entity({
  name: name.optional(),
  start: date.meta({ description: "First date; later ones are counted from it." }),
  every: whole(1, 1000, "Every how many units.").default(1),
  unit: z.enum(["day", "week", "month", "year"]).meta({ description: "Unit of the repetition." }),
  nth: z
    .union([z.int().min(1).max(5), z.literal(-1)], { error: "expected 1 to 5, or -1 for the last" })
    .optional()
    .meta({ description: "With unit month: the nth weekday of the start (1-5, -1 the last) instead of its day of the month." }),
  last: date.optional().meta({ description: "Last possible date." }),
  count: whole(1, 10_000, "How many times at most.").optional(),
  content: contentSchema,
}).meta({ id: "RecurringRule", description: "A repeating special day; wins over the week." });

const weeklySchema = entity({
  days: z
    .array(z.literal([1, 2, 3, 4, 5, 6, 7]))
    .min(1)
    .meta({ description: "ISO weekdays, Monday 1 to Sunday 7, on which it begins." }),
  ...entryFields,
}).meta({ id: "WeeklyEntry", description: "Open hours that begin on certain weekdays." });

const extraSchema = entity({
  name: name.optional(),
  start: moment("Begin."),
  end: moment("End, excluded; a date means its 24:00."),
  breaks: listOf(entity({ start: moment("Begin."), end: moment("End, excluded.") }), "Breaks within it.").default([]),
  people: whole(0, AMOUNT_MAX, "Headcount in hundredths of a person; left out: the crew's own.").optional(),
  unsocial: z.boolean().default(false).meta({ description: "Hours that cost extra." }),
}).meta({ id: "ExtraHours", description: "One dated stretch on top of the rules, for example an additional Saturday." });

export const calendarSchema = entity({
  id: id("calendar"),
  name: name.optional(),
  notes: notes.optional(),
  weekly: listOf(weeklySchema, "The weekly pattern.").default([]),
  exceptions: listOf(exceptionSchema, "Special dates, for example public holidays.").default([]),
  recurring: listOf(recurringSchema, "Repeating special days.").default([]),
  extra: listOf(extraSchema, "Single stretches on top of all that; they add people where they overlap a shift.").default([]),
}).meta({ id: "Calendar", description: "When something is open or somebody is there, in the wall-clock time of the site." });
export type CalendarInFile = z.infer<typeof calendarSchema>;
