/** Hours and shifts: weekly pattern, repeating days, exceptions, additional hours - and what comes out of them. */
import type { CalendarInFile } from "../../../src/contract/file/calendar-schema.ts";
import { useSiteTime } from "../../client/shop.ts";
import { CheckField, ChipsField, ChoiceField } from "../../forms/choice-fields.tsx";
import { at, type Lens } from "../../forms/lens.ts";
import { Rows } from "../../forms/rows.tsx";
import { NumberField, OptionalScaledField, TextField } from "../../forms/text-fields.tsx";
import { DateField, MomentField, WallTimeField } from "../../forms/time-fields.tsx";
import { Section } from "../../parts/page.tsx";
import { Notice } from "../../parts/states.tsx";
import { FieldHelp } from "../../parts/term.tsx";
import { numberText } from "../../present/amounts.ts";
import { dateFromToday, type SiteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { type PreviewDay, previewWeeks } from "./calendar-preview.ts";
import { type EntryInForm, newEntry, newWeekly } from "./plant-defaults.ts";

const w = words.setup;
const WEEKS_SHOWN = 6;
const DAYS = ([1, 2, 3, 4, 5, 6, 7] as const).map((value) => ({ value, label: w.dayNames[value - 1] ?? String(value) }));

type Content = CalendarInFile["exceptions"][number]["content"];

export function CalendarForm({ lens }: { readonly lens: Lens<CalendarInFile> }) {
  const time = useSiteTime();
  const today = dateFromToday(time, 0);
  return (
    <>
      <Section title={w.opening}>
        <div className="fields">
          <TextField label={words.forms.name} lens={at(lens, "name")} empty={undefined} width="two" />
          <TextField label={words.forms.notes} lens={at(lens, "notes")} empty={undefined} width="wide" lines={2} />
        </div>
      </Section>
      <Section title={w.weekly} about={w.weeklyAbout}>
        <Rows lens={at(lens, "weekly")} what={w.entry} add={w.addEntry} fresh={newWeekly}>
          {(entry) => (
            <>
              <ChipsField label={w.days} width="wide" lens={at(entry, "days")} choices={DAYS} />
              <EntryFields lens={entry} />
            </>
          )}
        </Rows>
      </Section>
      <Preview calendar={lens.value} />
      <Section title={w.recurring} about={w.recurringAbout}>
        <Rows
          lens={at(lens, "recurring")}
          what={w.rule}
          add={w.addRule}
          ordered
          fresh={() => ({ start: today, every: 1, unit: "year" as const, content: { closed: true as const } })}
        >
          {(rule) => (
            <>
              <TextField label={w.shiftName} lens={at(rule, "name")} empty={undefined} />
              <DateField label={w.firstDate} lens={at(rule, "start")} />
              <NumberField label={w.every} lens={at(rule, "every")} />
              <ChoiceField
                label={w.unit}
                lens={at(rule, "unit")}
                choices={(["day", "week", "month", "year"] as const).map((value) => ({ value, label: w.unitOf[value] }))}
              />
              {rule.value.unit === "month" ? (
                <ChoiceField
                  label={w.nth}
                  lens={{
                    ...at(rule, "nth"),
                    value: rule.value.nth ?? null,
                    set: (nth: number | null) => rule.set({ ...rule.value, nth: nth ?? undefined }),
                  }}
                  choices={NTHS}
                />
              ) : null}
              <DateField label={w.lastDate} lens={at(rule, "last")} />
              <OptionalScaledField label={w.times} scale={1} empty={undefined} lens={at(rule, "count")} />
              <ContentFields lens={at(rule, "content")} />
            </>
          )}
        </Rows>
      </Section>
      <Section title={w.exceptions} about={w.exceptionsAbout}>
        <Rows
          lens={at(lens, "exceptions")}
          what={w.exception}
          add={w.addException}
          ordered
          fresh={() => ({ date: today, content: { closed: true as const } })}
        >
          {(exception) => (
            <>
              <TextField label={w.shiftName} lens={at(exception, "name")} empty={undefined} />
              <DateField label={w.date} lens={at(exception, "date")} />
              <DateField label={w.lastDate} lens={at(exception, "last")} />
              <ContentFields lens={at(exception, "content")} />
            </>
          )}
        </Rows>
      </Section>
      <Section title={w.extra} about={w.extraAbout}>
        <Rows
          lens={at(lens, "extra")}
          what={w.entry}
          add={w.addExtra}
          fresh={() => ({ start: `${today}T08:00`, end: `${today}T12:00`, breaks: [], unsocial: true })}
        >
          {(hours) => (
            <>
              <TextField label={w.shiftName} lens={at(hours, "name")} empty={undefined} />
              <MomentField label={w.start} lens={at(hours, "start")} />
              <MomentField label={w.end} lens={at(hours, "end")} />
              <OptionalScaledField
                label={w.shiftPeople}
                hint={w.shiftPeopleHint}
                scale={100}
                empty={undefined}
                lens={at(hours, "people")}
              />
              <CheckField label={w.unsocial} help="unsocial" lens={at(hours, "unsocial")} />
            </>
          )}
        </Rows>
      </Section>
    </>
  );
}

const NTHS = [
  { value: null, label: w.nths.date },
  { value: 1, label: w.nths.n1 },
  { value: 2, label: w.nths.n2 },
  { value: 3, label: w.nths.n3 },
  { value: 4, label: w.nths.n4 },
  { value: 5, label: w.nths.n5 },
  { value: -1, label: w.nths.last },
] as const satisfies readonly { value: number | null; label: string }[];

function EntryFields<T extends EntryInForm>({ lens }: { readonly lens: Lens<T> }) {
  // Every entry has these fields, whatever it has besides.
  const entry = lens as unknown as Lens<EntryInForm>;
  return (
    <>
      <WallTimeField label={w.from} lens={at(entry, "from")} />
      <WallTimeField label={w.until} end lens={at(entry, "until")} />
      <TextField label={w.shiftName} lens={at(entry, "name")} empty={undefined} />
      <OptionalScaledField
        label={w.shiftPeople}
        hint={w.shiftPeopleHint}
        scale={100}
        empty={undefined}
        lens={at(entry, "people")}
      />
      <div className="field">
        <span className="label">{w.breaks}</span>
        <Rows lens={at(entry, "breaks")} what={w.breakOne} add={w.addBreak} fresh={() => ({ from: "10:00", until: "10:30" })}>
          {(pause) => (
            <span className="moment field-wide">
              <WallTimeField bare label={w.from} lens={at(pause, "from")} />
              <WallTimeField bare label={w.until} end lens={at(pause, "until")} />
            </span>
          )}
        </Rows>
      </div>
      <CheckField label={w.unsocial} help="unsocial" lens={at(entry, "unsocial")} />
    </>
  );
}

function ContentFields({ lens }: { readonly lens: Lens<Content> }) {
  const content = lens.value;
  const closed = "closed" in content;
  return (
    <>
      <ChoiceField
        label={w.content}
        lens={{
          ...lens,
          value: closed ? "closed" : "entries",
          set: (next: string) => lens.set(next === "closed" ? { closed: true } : { entries: [newEntry()] }),
        }}
        choices={[
          { value: "closed", label: w.contents.closed },
          { value: "entries", label: w.contents.entries },
        ]}
      />
      {closed ? null : (
        <div className="field-wide mode">
          <Rows
            lens={{
              form: lens.form,
              path: `${lens.path}/entries`,
              value: content.entries,
              set: (entries) => lens.set({ entries }),
            }}
            what={w.entry}
            add={w.addEntry}
            fresh={newEntry}
          >
            {(entry) => <EntryFields lens={entry} />}
          </Rows>
        </div>
      )}
    </>
  );
}

function Preview({ calendar }: { readonly calendar: CalendarInFile }) {
  const time = useSiteTime();
  const weeks = previewWeeks(calendar, time, WEEKS_SHOWN);
  return (
    <Section
      title={
        <>
          {w.preview} <FieldHelp of="calendar" />
        </>
      }
      about={w.previewAbout}
    >
      {weeks === null ? (
        <Notice>{w.previewFaulty}</Notice>
      ) : (
        <div className="table-frame">
          <table className="preview">
            <thead>
              <tr>
                <td />
                {w.dayNames.map((name) => (
                  <th key={name} scope="col">
                    {name}
                  </th>
                ))}
                <th scope="col" className="number">
                  {w.columns.week}
                </th>
              </tr>
            </thead>
            <tbody>
              {weeks.map((week) => (
                <tr key={week.start}>
                  <th scope="row">{time.day(week.start)}</th>
                  {week.days.map((day) => (
                    <DayCell key={day.start} day={day} />
                  ))}
                  <td className="number">{w.hoursWeek(numberText(week.openMinutes / 60))}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Section>
  );
}

function DayCell({ day }: { readonly day: PreviewDay }) {
  const time = useSiteTime();
  const length = day.end - day.start;
  const hours =
    day.open.length === 0
      ? w.closedDay
      : day.open.map(([start, end]) => `${time.time(start)}-${end === day.end ? "24:00" : time.time(end)}`).join(", ");
  const title = w.previewDay(time.day(day.start), [hours, ...day.names, ...(day.special ? [day.special] : [])].join(", "));
  const today = day.start <= time.now && time.now < day.end;
  return (
    <td title={title} className={today ? "preview-today" : undefined}>
      <span className="out-of-sight">{title}</span>
      <svg viewBox={`0 0 ${length} 100`} preserveAspectRatio="none" aria-hidden="true">
        <rect width={length} height="100" fill={day.special === null ? "var(--night)" : "var(--closed)"} />
        {day.open.map(([start, end]) => (
          <rect key={start} x={start - day.start} width={end - start} y="12" height="76" fill="var(--machine)" />
        ))}
        {day.unsocial.map(([start, end]) => (
          <rect key={start} x={start - day.start} width={end - start} y="66" height="22" fill="var(--maintenance)" />
        ))}
      </svg>
      <small aria-hidden="true">{day.special === null ? shortHours(day, time) : day.special || w.exception}</small>
    </td>
  );
}

/** "14:00-22:00": first opening to last closing; breaks are seen in the bar. */
function shortHours(day: PreviewDay, time: SiteTime): string {
  const first = day.open[0];
  const last = day.open.at(-1);
  if (!first || !last) return "";
  return `${time.time(first[0])}-${last[1] === day.end ? "24:00" : time.time(last[1])}`;
}
