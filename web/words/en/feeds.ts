/** Calendar feeds: making one, its secret address, revoking it. */
export const feeds = {
  title: "Calendar feeds",
  about:
    "The published plan in the calendar you use anyway: subscribe to a secret address and it follows every version that is published.",
  make: "Make a feed",
  whose: "Whose plan",
  audiences: { machine: "Machine or rig", crew: "Crew or person", requester: "Requester", order: "Order" },
  content: "What it shows",
  contents: { events: "What, where and when", freeBusy: "Only when busy" },
  contentHint: "Only when busy: for people who may not see what is done. Closed time and maintenance count as unavailable.",
  nothingToChoose: "There is none yet.",
  made: (name: string) => `The feed of ${name} is ready`,
  madeText:
    "Copy this address into your calendar as a subscription. It is shown this once: here only a fingerprint of it is kept.",
  secret: "Whoever knows the address can read the feed without signing in. Revoke it when it has gone astray.",
  address: "Address",
  copy: "Copy address",
  copied: "Address copied",
  open: "Subscribe in this device's calendar",
  yours: "Feeds in use",
  none: "You have no feeds yet.",
  columns: { name: "Of", audience: "Whose plan", content: "Shows", madeBy: "Made by", since: "Since" },
  revoke: "Revoke",
  revokeTitle: (name: string) => `Revoke the feed of ${name}?`,
  revokeText:
    "Its address answers no more, and calendars that read it stop following. This cannot be taken back; a new feed has a new address.",
  keep: "Keep it",
  revoked: (name: string) => `The feed of ${name} is revoked.`,
  caution:
    "A calendar shows the published plan and is no permission to work: local rules and the instructions at the machine come first.",
};
