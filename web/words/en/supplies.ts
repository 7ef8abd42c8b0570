/** Supplies: what is drawn at each moment, against what is there. */
const plural = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`;

export const supplies = {
  title: "Supplies",
  about: "What the draft plan draws from each supply and holds of each kit, moment by moment, against what is there.",
  supply: "Supply or kit",
  span: "Shown",
  spans: { day: "a day", week: "a week" },
  earlier: "Earlier",
  later: "Later",
  from: (day: string) => `from ${day}`,
  peak: "Highest",
  short: "Short",
  shortBy: (amount: string) => `short by ${amount}`,
  never: "never short",
  drawn: "drawn",
  there: "there",
  nothingDrawn: "Nothing is drawn in this stretch.",
  nothingHeld: "Nobody holds it in this stretch.",
  peaks: "Peaks",
  peaksAbout: "The highest moments of this stretch and who makes them, the largest share first.",
  columns: { from: "From", until: "To", amount: "Drawn", there: "There", who: "Made by" },
  share: (order: string, amount: string, share: string) => `${order}: ${amount} (${share})`,
  onBoard: "Show on the board",
  chart: (name: string, peak: string, there: string, short: string) => `${name}: at most ${peak} of ${there}; ${short}`,
  shortTimes: (count: number) => plural(count, "stretch is short", "stretches are short"),
  legend: { drawn: "Drawn", there: "What is there", over: "Short", now: "Now" },
  noneTitle: "No supplies yet",
  none: "Shared DC power, chilled water, compressed air: enter each with its amount, and what each phase draws.",
  how: "How is this computed?",
  howText:
    "Drawn: the sum over all phases that work at that moment, as the draft plan has them, running work included. There: the supply's amount with its changes. Short, where more is drawn than is there: the same stretches as the conflicts on the board. For back-to-back rigs enter the worst case (start, trip, one side not returning power), not the net draw. Kits count from the start to the end of what holds them.",
};
