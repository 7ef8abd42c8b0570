/** The dialog that names what cannot all hold, and how to lift one of it. */
export const cannotHold = {
  ask: "What cannot hold?",
  title: "What cannot all hold",
  text: "Looks for the smallest sets of pins, frozen work, hard deadlines, windows and longest waits that contradict each other. Lift any one of a set and the rest of it has a plan.",
  working: "Looking for what contradicts …",
  attempts: (count: number) => (count === 1 ? "1 plan tried" : `${count} plans tried`),
  stop: "Stop looking",
  again: "Look again",
  stale: "The plan or the shop has changed since. Look again for an answer about what is there now.",
  stopped: "Stopped before there was an answer.",
  holds:
    "Everything that was asked for can hold together: a plan without conflicts was found. Plan again, and the conflicts of this draft go away.",
  doesNotFit: {
    proved: "Even without any pin, deadline or window the work cannot be done within the horizon.",
    noneFound:
      "Even without any pin, deadline or window no plan without conflicts was found. The search was short; that proves nothing.",
  },
  set: {
    proved: "No plan can keep all of these:",
    noneFound: "No plan was found that keeps all of these (a short search, no proof):",
  },
  moreNeeded: "These are not all: with one of each lifted there may be more that cannot hold.",
  lifted: (what: string) => `Done: ${what}. Plan again to use it.`,
  planAgain: "Plan again",
  close: "Close",
  freezeUntil: (when: string) => `Freeze only until ${when}`,
  freezeNothing: "Freeze nothing for now",
  refused: (why: string) => `Not lifted: ${why}`,
};
