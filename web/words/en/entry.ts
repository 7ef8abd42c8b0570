/** First steps, signing in, bringing a shop in and out. */
const plural = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`;

export const start = {
  title: "Set up your shop",
  about: "Five steps from nothing to a first plan. Each can be changed later; none has to be complete.",
  done: "done",
  stepOf: (step: number) => `Step ${step}`,
  steps: {
    calendars: { title: "Hours", text: "When is the shop open? A weekly pattern is enough to begin with.", act: "Add hours" },
    machines: {
      title: "Machines and rigs",
      text: "What can do one thing at a time? Two or three are enough to begin with.",
      act: "Add a machine",
    },
    crews: { title: "People", text: "Who is there, and what can they do? A crew may be one person.", act: "Add a crew" },
    orders: {
      title: "A first order",
      text: "What was promised, and by which operations is it made?",
      act: "Add an order",
      other: "Bring in a file",
    },
    plan: { title: "Plan", text: "Let the engine place the work. You can move everything by hand afterwards.", act: "Plan now" },
  },
  have: (count: number) => `${count} entered`,
  another: "Add another",
  planRunning: "Planning",
  planDone: "Open the plan board",
  planFailed: "The plan could not be made",
  demoTitle: "Or look around first",
  demo: "Load the demo shop: an invented maker of electric drives with twelve machines and rigs, about forty orders and a published plan. It can be replaced by your own data at any time.",
  demoAct: "Load the demo shop",
  signInTitle: "Sign in",
  signInAbout: (site: string) => `to ${site}`,
  email: "E-mail address",
  password: "Password",
  signInAct: "Sign in",
  wrong: "Address or password is not right.",
  noAccount: "No account? An administrator of this site can make one.",
  firstTitle: "First administrator",
  firstAbout: "This link works once. Whoever opens it becomes the administrator of this site; demo mode then ends.",
  firstName: "Your name",
  passwordHint: "At least ten characters. A sentence is easy to remember.",
  firstAct: "Become administrator",
  noToken: "This address lacks its one-time token. Use the whole link as it was printed when the program started.",
};

export const exchange = {
  title: "Whole shop as a file",
  about:
    "Bring a shop in from a problem file, or take this one out: machines, people, orders, links and the published plan in one JSON file.",
  exportTitle: "Take out",
  exportText:
    "One problem file with everything planning needs. It can be planned and checked on the command line, kept, or brought in elsewhere.",
  exportAct: "Download problem file",
  exportPlan: "Download plan file",
  importTitle: "Bring in",
  importText:
    "The file is read and judged whole before anything changes. If something is wrong in it, nothing is taken over and every fault is listed with its place.",
  choose: "Problem file (JSON)",
  replaceWarn: "This shop already holds data. Bringing in a file replaces all of it: machines, orders and plans.",
  replace: "Replace everything that is here",
  liveClock: "Plan from the present time instead of the file's own now",
  importAct: (name: string) => `Bring in ${name}`,
  importing: "Reading the file",
  notJson: (message: string) => `This is not a JSON file: ${message}`,
  faultsTitle: (count: number) => `${plural(count, "fault", "faults")} in the file; nothing was taken over`,
  columns: { place: "Place", entry: "Entry", field: "Field", fault: "What is wrong" },
  doneTitle: "Taken over",
  done: (machines: number, crews: number, orders: number, operations: number) =>
    `${plural(machines, "machine", "machines")}, ${plural(crews, "crew", "crews")}, ${plural(orders, "order", "orders")} with ${plural(operations, "operation", "operations")}.`,
  openBoard: "Open the plan board",
  wholeFile: "whole file",
};
