/** What the shop has settled about itself, by name. Values are judged by the contract before they come here. */
import { json, type Store } from "./store.ts";

export type SettingRow = {
  readonly value: unknown;
  readonly revision: number;
  readonly changedBy: string;
  readonly changedAt: Date;
};

export const readSettingRow = (store: Store, name: string): Promise<SettingRow | null> =>
  store.db.setting.findUnique({ where: { name } });

/** As nobody settled it. */
export async function forgetSetting(store: Store, name: string): Promise<void> {
  await store.db.setting.deleteMany({ where: { name } });
}

export async function writeSettingRow(
  store: Store,
  name: string,
  value: unknown,
  changedBy: string,
  changedAt: Date,
): Promise<void> {
  const data = { value: json(value), changedBy, changedAt };
  await store.db.setting.upsert({
    where: { name },
    create: { name, ...data },
    update: { ...data, revision: { increment: 1 } },
  });
}
