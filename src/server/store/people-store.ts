/** People, whether an administrator exists, and the secrets of this installation. Passwords and sessions are the sign-in library's business. */
import type { Role } from "../../contract/api/role.ts";
import type { Store } from "./store.ts";

export type Person = {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  readonly createdAt: Date;
};

const fields = { id: true, name: true, email: true, role: true, createdAt: true } as const;
type Row = Omit<Person, "role"> & { role: string };
const person = (row: Row): Person => ({ ...row, role: row.role as Role }); // a CHECK holds the vocabulary

export const listPeople = async (store: Store): Promise<Person[]> =>
  (await store.db.user.findMany({ orderBy: { name: "asc" }, select: fields })).map(person);

export async function readPerson(store: Store, id: string): Promise<Person | null> {
  const row = await store.db.user.findUnique({ where: { id }, select: fields });
  return row && person(row);
}

export async function savePerson(store: Store, id: string, change: { name?: string; role?: Role }): Promise<void> {
  await store.db.user.update({ where: { id }, data: { ...change, updatedAt: new Date() } });
}

export const removePerson = async (store: Store, id: string): Promise<void> =>
  void (await store.db.user.delete({ where: { id } }));

export const endSessionsOf = async (store: Store, id: string): Promise<void> =>
  void (await store.db.session.deleteMany({ where: { userId: id } }));

export const countAdministrators = (store: Store): Promise<number> => store.db.user.count({ where: { role: "administrator" } });

/** One at a time may make or unmake administrators, so that never two are first and never none is left. */
export const lockPeople = async (store: Store): Promise<void> =>
  void (await store.db.$queryRaw`SELECT "id" FROM "site" WHERE "id" = 1 FOR UPDATE`);

/** The secret of that name; `made` when there is none yet. The first of several processes wins. */
export async function keepSecret(store: Store, name: string, made: string): Promise<string> {
  await store.db.$executeRaw`INSERT INTO "secret" ("name", "value") VALUES (${name}, ${made}) ON CONFLICT DO NOTHING`;
  return (await store.db.secret.findUniqueOrThrow({ where: { name } })).value;
}

export async function replaceSecret(store: Store, name: string, value: string): Promise<void> {
  await store.db.secret.upsert({ where: { name }, create: { name, value }, update: { value, createdAt: new Date() } });
}

/** Takes the secret away if it has that value; true when it did. */
export async function spendSecret(store: Store, name: string, value: string): Promise<boolean> {
  return (await store.db.secret.deleteMany({ where: { name, value } })).count === 1;
}
