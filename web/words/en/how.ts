/**
 * "How is this computed?": one entry for each figure that a screen works out, in the words of the shop. What people typed themselves
 * (names, dates, quantities) needs none. Says what is counted, from when, and what is left out; never that a figure is good.
 */
const DRAFT_ONLY = "As the draft plan has it; the published plan may differ.";

export const how = {
  /** The part's own question, where a section or page explains itself as a whole. */
  ask: "How is this computed?",

  orders: {
    inBook: "All orders that are entered, done ones included.",
    running: "Orders with at least one operation begun and not everything done.",
    unplanned:
      "Orders with an operation that has no place in the draft plan. Maintenance of a run-hour rule may stay without one. Re-plan or place it by hand, and it leaves this count.",
    onTimeShare:
      "Of the promised orders that are done or wholly planned, those whose last operation ends by the due time. Ending on the minute counts as on time. Those without a place in the draft are left out.",
    late: "Orders whose last operation ends in the draft after they are due. One minute counts.",
    ends: `End of the last operation of the order, unloading included. ${DRAFT_ONLY} Empty: not all of it is planned.`,
    lateBy:
      "End of its last operation less the due time. A due date without a time means the end of that day, 24:00. Elapsed time, nights and weekends included.",
    chance:
      "Share of simulated courses of the plan in which the order ends by its due time. Empty until somebody has it worked out under Published, How sure is this plan. A dashed gauge: the plan has changed since.",
  },
  order: {
    spare: "Due time less the end of its last operation: elapsed time, nights and weekends included.",
    goodPieces:
      "Pieces started, those for the expected scrap included, less the pieces reported bad at the stations. A piece lost at one operation is missing at all that follow; where parts come together, the branch that lost most decides.",
    waits:
      "Minutes in which the operation holds its machine and nothing is done on it: a finished part nobody has taken out yet, or work that rests while nobody is there.",
  },
  levers: {
    ends: "Where this order would end with the change, after a short search for a plan of the changed shop. A longer search may find an earlier end.",
    removed:
      "Lateness after the same short search without any change, less lateness with it. So better planning alone is not counted as help.",
    added: "Hours that crews or machines are there longer, whether the work uses them or not.",
    perHour: "Lateness removed divided by hours added. Ways that add no hours stand first.",
    others: "Over all other orders: weight times minutes later (or earlier), in hours.",
  },
  load: {
    fullest: "The machine with the largest share of its open time used, from now to the end of this week.",
    crews:
      "Needed: people of each phase times its worked minutes, as assigned in the draft. There: heads on shift, absences taken off. The first week counts from now on.",
    supplies: "The highest sum of draws at one moment of the week, beside what is there at that moment. No average.",
  },
  supplies: {
    drawn: "The sum of what all phases at work draw at that moment, running work included.",
    there: "The supply's amount with its dated changes at that moment.",
    share: "The part of one piece of work in the sum, in amount and per cent.",
  },
  nights: {
    figure:
      "All machines together: night hours worked alone, and night hours that their unattended rules allow, from now to the end of this week.",
    idle: "Night hours from now to the end of this week in which the machine might run alone and stands free, at its rate for an hour less what an hour at night costs on top. Rates are set under Set-up. For comparing, not an account.",
    gain: "More night hours worked than before, on balance over all machines: what makes room may lose some.",
    planned: "Where the draft has this work now.",
  },
  upkeep: {
    notCovered: "Lines of the list without a task planned in time: no task, not planned, planned too late, or lapsed already.",
    first: "The first to lapse of those that are not covered.",
    lapses:
      "Calibration: its valid-to date as renewed by what is done. Run hours: the minute at which the runs of the draft take the counter past its limit.",
    blocked: "Planned work on that machine that would break the rule if nothing renewed it before.",
    asked: "Orders this rule asks for as of now, seen its lead time.",
  },
  howSure: {
    runs: "How many times the plan was replayed with other durations, stops and deliveries. More courses narrow the error of a chance: by half for four times as many.",
    unlikely: "Promised orders that end in time in less than 80 % of the courses.",
    latestEnd: "The minute by which all work was done in half of the courses, and in 95 % of them.",
    planned: "Where the draft ends it, with every duration as planned.",
    p50: "In half of the courses the order had ended by then.",
    p80: "In 80 % of the courses the order had ended by then: a date to promise with some care.",
    p95: "In 95 % of the courses the order had ended by then: one in twenty ended later still.",
    makesLate: "Share of all courses in which this operation lay on the chain that made an order late.",
    decidesEnd: "Share of all courses in which this operation lay on the chain that decided the end of the last work.",
  },
  measures: {
    conflicts: "Every rule the checker finds broken by work that has a place in that plan. Work without one is counted below.",
    notPlanned: "Operations that should have a place in the plan and have none.",
    lateOrders: "Orders that end after they are due, each counted once, however late.",
    lateMinutes: "Minutes after the due time, summed over all late orders, without their weights.",
    end: "End of the last work in the plan, unloading included.",
    disturbance:
      "How far published work moves: minutes times 4 within a day from now, times 2 within five days, times 1 later; another machine or crew counts on top. Points, for comparing.",
    moved: "Operations that start, end or stand elsewhere than in the draft.",
    addedPersonMinutes:
      "People's hours that the changed shifts have more than today's, used or not. Below it, how much of that is worked.",
    addedMachineMinutes: "Hours that machines are open longer than today.",
    unsocialPersonMinutes: "People's hours worked in shifts marked as unsocial, from now on.",
    nightMinutes: "Machine hours worked while nobody is on site. Neither good nor bad by itself.",
    setups: "Times a machine is set up anew, for work that has not begun.",
    setupMinutes: "Setup minutes of work that has not begun: the phase's own and what the setup table asks for.",
    waitingMinutes:
      "Minutes in which machines are occupied and no work is done on them, from now on: the wait for unloading, rest over night.",
    cost: "The sum of the parts of the cost times their weights (Set-up, Site and weights). Points for comparing plans, not money.",
    money:
      "Rates times hours, from now on. What has no rate under Set-up, Rates counts nothing. For comparing plans, not an account.",
  },
  contract: {
    verdict:
      "The contract's orders are added to a copy of the shop and planned by a search of some seconds. It breaks in the first week in which one of them comes after its promise, or an order of today becomes late. A longer search may find that it holds; it never hides a break.",
    due: "Orders of the contract promised for that week.",
    late: "Of them, those that end later than promised or get no place; below it, how late the worst one is.",
    load: "Machines: open minutes held of open minutes. Crews: people's minutes needed of those on shift. In that week, all orders together.",
  },
  campaign: {
    test: "The time on the rig by the estimate chosen, cut into sessions between the shortest and the longest.",
    around: "Getting ready, warming up, zero checks and unloading, over all sessions.",
    window: "From the first minute of the first session to the last minute of the last, where it fits without moving other work.",
    nights: "Stretches with nobody on site in which the test would work alone, and their hours.",
    late: "End of the window against the date it is wanted by.",
  },
  published: {
    versions: "How often a plan was published; each one stays as it was.",
    cautions: "Checklists that somebody went through before this plan was published, each with a name.",
  },
  scenario: {
    plan: "Not planned: the scenario shows the draft's plan in the changed shop, so figures may look worse than they need to be. Old: something changed after it was planned.",
  },
  fit: {
    finish: "End of the order's last operation in this way of fitting it in.",
    due: "Its end against the date it is due.",
    sooner: "Its end in the draft less its end here.",
    later: "Other orders whose last operation ends earlier or later than in the draft.",
    machines: "Machines whose list of work changes against the draft, so that somebody has to be told.",
    people: "Crews whose list of work changes against the draft.",
    conflicts: "What the draft in hand breaks already and this answer leaves as it is. An answer adds none.",
    decides:
      "How often each operation lay on the chain of work that held the end of this order to the minute, over all simulated courses: earlier work of the same order, and work of others that had the machine or the people before it.",
    sure: "The slot is replayed many times with other durations, stops and deliveries: by this moment the order had ended in so many of the courses.",
  },
  setup: {
    week: "Open hours of the second week from now as all rules of the calendar make it, holidays taken off.",
    calibration: "The earliest valid-to date of the machine's calibrations. Marked when it lapses within 14 days.",
  },
} as const;
