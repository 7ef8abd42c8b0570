/** Words of the trade as the planning model means them, in a sentence or two each; shown where a field uses them. */
export const glossary = {
  setup: {
    term: "Setup",
    text: "Preparing a machine before a run: fixtures, tools, first article. A person is needed. Its minutes are the phase's own plus what the setup table asks for, from the family the machine stands in.",
  },
  run: { term: "Run", text: "The work itself. With people in its needs it is an attended run; without, an unattended run." },
  unattended: {
    term: "Unattended running",
    text: "Work that goes on while nobody is on site. The machine's rule says whether and how long. Allow it only where the person responsible has recorded the conditions: local rules, the machine's manual and licensed practice come first. This program judges no safety.",
  },
  caution: {
    term: "Caution",
    text: "A checklist about work that can hurt: machines alone at night, high voltage, rotating rigs. Somebody goes through it and gives their name before such work is published or started; the name stays with the version and in the audit trail. Acknowledged does not mean safe: local rules, the machine's manual and licensed practice decide.",
  },
  criticalChain: {
    term: "Critical chain",
    text: "The work that holds the latest end of the plan, each step kept to its minute by the one before. Shorten or free a step of it and the end may move; nothing else helps.",
  },
  slack: {
    term: "Slack",
    text: "How much later work may start before an order ends after its due date (or later than it does now), in the plan's own order of work: by itself, or with what follows pushed along.",
  },
  unload: {
    term: "Unload",
    text: "Taking the part out or the specimen off. Until somebody does, the machine stays occupied and the plan shows it as waiting.",
  },
  ability: {
    term: "Ability",
    text: "A range in numbers: torque 0 to 300 N·m, temperature -40 to 150 °C. Rigs are chosen by it, and the reason why one cannot is said with both numbers. Rigs with the same number under “back to back” can be coupled. It states what the rig was built for and is no permission.",
  },
  flow: {
    term: "Flow",
    text: "Whether work may rest. Without a break: never. May pause: rests when nobody is there or the machine is closed, and goes on afterwards. Piece by piece: rests only between pieces.",
  },
  mode: {
    term: "Way to do it",
    text: "One choice of machine with its own phases and times. Give several ways and the plan takes the one that fits best.",
  },
  need: {
    term: "People needed",
    text: "A skill and how many people for the whole phase. 0.5 means one person minds two machines at once.",
  },
  draw: {
    term: "Supply drawn",
    text: "What the phase takes from a shared supply while it works, for example 90 kW of DC power.",
  },
  family: {
    term: "Setup family",
    text: "What the machine must be set up for. Between operations of one family the setup is short; the setup table holds the minutes of every change.",
  },
  temperatureFamily: {
    term: "Temperature",
    text: "Under a temperature rule the family is a chamber temperature; the change takes the difference divided by the ramp, plus the settling time.",
  },
  release: {
    term: "Release",
    text: "When the material is on hand. Nothing of the order starts earlier. A date alone means its 00:00.",
  },
  due: {
    term: "Due",
    text: "What was promised. Ending later costs, and is shown as late, but is allowed. A date alone means its 24:00.",
  },
  deadline: {
    term: "Deadline",
    text: "Ending later is not allowed: the plan lists it as a conflict. Leave it empty unless it is truly hard.",
  },
  weight: { term: "Weight", text: "How much a minute late of this order counts against a minute late of another. 1 is normal." },
  scrap: { term: "Expected scrap", text: "So many more pieces are started that the quantity ordered is left over." },
  split: {
    term: "Lots",
    text: "The batch may be cut into lots so that other work can go between, or so that two machines share it. Each lot needs its own setup.",
  },
  prepareEarly: {
    term: "Set up early",
    text: "The machine may be set up before the parts arrive: release and links then bind the first phase after setup.",
  },
  selfStart: { term: "Starts by itself", text: "A pallet changer or the like: unattended phases need nobody to start them." },
  startSkill: {
    term: "Who may start it",
    text: "An unattended run must be started by somebody who is there. Name a skill to restrict who; leave it empty for anybody on shift.",
  },
  kit: {
    term: "Kit",
    text: "Something movable that an operation keeps from its start to its end: a fixture, an adapter, the one prototype motor.",
  },
  supply: {
    term: "Supply",
    text: "Something shared by amount: DC power, chilled water, compressed air. The plan keeps the sum of all draws within the amount there is.",
  },
  crew: { term: "Crew", text: "People who share shifts and skills. A crew may be one person. Nobody belongs to two crews." },
  calendar: {
    term: "Calendar",
    text: "Opening hours or shifts: a weekly pattern, repeating special days, and dated exceptions. The most special one wins.",
  },
  unsocial: {
    term: "Unsocial hours",
    text: "Nights, weekends and other hours that cost extra. The plan uses them only when that is worth its weight.",
  },
  window: { term: "Window", text: "The operation starts and ends inside it, for example a service visit between two dates." },
  calibration: {
    term: "Calibration",
    text: "A named calibration of a machine with the date it lapses. Operations that ask for it must end before; a calibration operation renews it.",
  },
  pin: {
    term: "Pin",
    text: "A machine or a start that a planner has fixed. The plan never moves it; if it cannot hold, the conflict is shown until somebody lifts the pin.",
  },
  minLag: {
    term: "At least",
    text: "Shortest time from the end of one operation to the start of the next: cure, cool-down, discharge wait.",
  },
  maxLag: { term: "At most", text: "Longest time from the end of one to the start of the next: use within." },
  transfer: {
    term: "Transfer lots",
    text: "The next operation may begin as soon as the first pieces are through, handed on so many at a time.",
  },
  sameMachine: { term: "Same machine", text: "Both operations must be done on the same machine or machines." },
  maxWait: { term: "Longest wait", text: "How long the phase may begin after the one before it ended. Empty: any time." },
  closure: {
    term: "Closure",
    text: "A dated stretch in which the machine is closed. Work stops; what is clamped in it stays there.",
  },
  freeze: {
    term: "Freeze",
    text: "Published work that starts within so many hours is not moved any more, neither by a re-plan nor by hand without a reason.",
  },
  followsPlan: {
    term: "Following the plan",
    text: "On: the shop is taken to do what was published, and people report only what went differently. Off: an operation counts as begun or done only when somebody says so; until then it is moved on to now.",
  },
  horizon: { term: "Horizon", text: "How far ahead is planned. Everything has to end before it." },
  weights: {
    term: "Weights of the plan",
    text: "The plan with the smallest sum of parts times weights is the better one, after conflicts. Changing a weight changes what the next re-plan prefers.",
  },
  attended: { term: "Attended", text: "Minutes in which a person is needed at the machine: setup, attended runs, unloading." },
  waiting: {
    term: "Waiting",
    text: "Minutes in which the machine is occupied and no work is done: a part nobody has taken out, work that rests over night.",
  },
  draft: { term: "Draft", text: "The plan you are working on. Nobody else follows it until it is published." },
  published: {
    term: "Published plan",
    text: "What the shop works to. Each publication keeps its number, its time and who published it.",
  },
} as const;

export type GlossaryTerm = keyof typeof glossary;
