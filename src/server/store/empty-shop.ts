/** Whether anything was entered, and taking everything out again (people, runs and the audit trail stay). */
import type { Store } from "./store.ts";

export async function isEmptyShop({ db }: Store): Promise<boolean> {
  const found = [
    await db.order.findFirst(),
    await db.machine.findFirst(),
    await db.crew.findFirst(),
    await db.calendar.findFirst(),
    await db.publishedVersion.findFirst(),
  ];
  return found.every((row) => row === null);
}

export async function emptyShop({ db }: Store): Promise<void> {
  await db.site.update({ where: { id: 1 }, data: { draftNumber: null, publishedVersion: null } });
  await db.publishedVersion.deleteMany({});
  await db.planProposal.deleteMany({});
  // They name machines and supplies of the shop that goes; what another shop has to mind is its own to say.
  await db.setting.deleteMany({ where: { name: { in: ["cautions", "risk"] } } });
  await db.draftRevision.deleteMany({});
  await db.runHourRule.deleteMany({});
  await db.upkeepRule.deleteMany({});
  await db.rigRequest.deleteMany({});
  await db.hold.deleteMany({});
  await db.order.deleteMany({});
  await db.routeTemplate.deleteMany({});
  await db.machine.deleteMany({});
  await db.crew.deleteMany({});
  await db.supply.deleteMany({});
  await db.kit.deleteMany({});
  await db.setupTable.deleteMany({});
  await db.calendar.deleteMany({});
}
