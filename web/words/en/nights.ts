/** Nights: how much of them machines work alone, and what could start before people leave. */
const plural = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`;

export const nights = {
  title: "Nights",
  about:
    "Hours in which nobody is on site: how much of them the draft plan works alone on each machine, against what its unattended rule allows.",
  machine: "Machine or rig",
  thisWeek: "this week, from now",
  week: (day: string) => `from ${day}`,
  of: (used: string, possible: string) => `${used} of ${possible} h`,
  cell: (name: string, week: string, used: string, possible: string) => `${name}, ${week}: ${used} of ${possible} hours`,
  none: "never alone",
  figure: "Used this week",
  idleFigure: "Idle nights cost, this week",
  idle: "Idle, this week",
  noRate: "no rate, or not idle",
  weeks: "Weeks shown",
  noneTitle: "No machine may run alone",
  noneText:
    "Every machine's unattended rule says never. The person responsible records on a machine's page whether, when and for how long it may run alone.",
  proposals: "What could start before people leave",
  proposalsAbout: "Work with an unattended part that would run into a night. No order becomes late or later than it is.",
  find: "Look for work to start before people leave",
  again: "Look again",
  days: "Nights of the next",
  dayCount: (count: number) => plural(count, "day", "days"),
  moves: "Other work may make room",
  nothing: "Nothing to propose: what could run alone already does, or its setup does not fit before people leave.",
  columns: {
    night: "Night",
    work: "Start",
    machine: "Machine or rig",
    start: "Before people leave",
    planned: "Planned now",
    gain: "Night hours",
    moved: "Makes room",
  },
  more: (hours: string) => `+${hours}`,
  alone: (hours: string) => `${hours} alone that night`,
  notPlanned: "not planned",
  nobodyMoves: "nobody",
  movedTo: (operation: string, to: string) => `${operation} to ${to}`,
  take: "Take",
  takeOne: (operation: string) => `Take ${operation}`,
  takeAll: (count: number) => `Take all ${count}`,
  takenOne: (operation: string) => `${operation} starts before people leave. Undo takes it back.`,
  takenAll: (count: number) => `${plural(count, "proposal", "proposals")} taken into the draft. Undo takes them back.`,
  noteOne: (operation: string) => `${operation} into the night`,
  noteAll: (count: number) => `${plural(count, "piece", "pieces")} of work into the nights`,
  buildsOn: "builds on the ones before it",
  summary: (before: string, after: string, possible: string) =>
    `With all of them ${after} instead of ${before} of ${possible} night hours are used.`,
  caution:
    "A proposal is no permission. Before anything runs alone the person responsible checks and records the conditions: fire detection and suppression in working order, interlocks, safe stop, alarm to somebody who can come. Local rules and the machine's manual come first.",
  how: "How is this computed?",
  howText:
    "A night is any stretch in which no crew is in its shift, a Sunday too. Possible: what of it the machine is open and its unattended rule allows. Used: minutes in which a phase that needs nobody works then. Proposals are tried night by night and machine by machine, first with everything else lying still, then with work that has at least 8 hours of slack making room; each has passed the checker. It does not promise the fullest nights.",
};
