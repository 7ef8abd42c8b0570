/** Accounts, as an administrator keeps them. The last administrator stays one. */

import type { Role } from "../../contract/api/role.ts";
import type { UserView } from "../../contract/api/session.ts";
import type { Actor } from "../actions/actor.ts";
import { noSuch, Refused } from "../actions/refused.ts";
import { record } from "../store/audit.ts";
import {
  countAdministrators,
  endSessionsOf,
  listPeople,
  lockPeople,
  type Person,
  readPerson,
  removePerson,
  savePerson,
} from "../store/people-store.ts";
import type { Store } from "../store/store.ts";
import type { SignIn } from "./sign-in.ts";

const view = ({ createdAt, ...person }: Person): UserView => ({ ...person, createdAt: createdAt.toISOString() });

export const people = async (store: Store): Promise<UserView[]> => (await listPeople(store)).map(view);

export async function addPerson(
  store: Store,
  signIn: SignIn,
  actor: Actor,
  account: { name: string; email: string; password: string; role: Role },
): Promise<UserView> {
  const id = await signIn.createAccount(account);
  if (id === null)
    throw new Refused("conflict", "Somebody with this e-mail address has an account already.", [
      { pointer: "/email", message: "is taken" },
    ]);
  await record(store, actor.name, "made", `person ${account.email}`, { role: account.role });
  return view(await present(store, id));
}

async function present(store: Store, id: string): Promise<Person> {
  const person = await readPerson(store, id);
  if (!person) throw noSuch("person", id);
  return person;
}

export async function changePerson(
  store: Store,
  signIn: SignIn,
  actor: Actor,
  id: string,
  { password, name, role }: { name?: string | undefined; role?: Role | undefined; password?: string | undefined },
): Promise<UserView> {
  await store.inTransaction(async (locked) => {
    await lockPeople(locked);
    const before = await present(locked, id);
    if (role !== undefined && role !== "administrator") await refuseLast(locked, before);
    await savePerson(locked, id, { ...(name === undefined ? {} : { name }), ...(role === undefined ? {} : { role }) });
    await record(locked, actor.name, "changed", `person ${before.email}`, { name, role, password: password !== undefined });
  });
  if (password !== undefined) {
    await signIn.setPassword(id, password);
    await endSessionsOf(store, id);
  }
  return view(await present(store, id));
}

export async function deletePerson(store: Store, actor: Actor, id: string): Promise<void> {
  await store.inTransaction(async (locked) => {
    await lockPeople(locked);
    const before = await present(locked, id);
    await refuseLast(locked, before);
    await removePerson(locked, id);
    await record(locked, actor.name, "deleted", `person ${before.email}`);
  });
}

async function refuseLast(store: Store, person: Person): Promise<void> {
  if (person.role === "administrator" && (await countAdministrators(store)) === 1)
    throw new Refused("conflict", "This is the last administrator; make another one first.");
}
