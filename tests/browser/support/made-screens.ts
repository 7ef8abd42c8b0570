/**
 * Screens of things that the demo shop has none of: a request for rig time and a scenario are made by the API, as the screens
 * make them, and found again where they are there already. Promises their addresses; the plan is not touched.
 */
import type { ScreenAddress } from "./screens.ts";

const REQUEST_NAME = "Efficiency map, cold";
const SCENARIO_NAME = "Mill 1 down for two days";

export async function madeScreens(address: string): Promise<readonly ScreenAddress[]> {
  const number = await madeRequest(address);
  const scenario = await madeScenario(address);
  return [
    { name: "request", path: `/rigs/requests/${number}`, heading: new RegExp(REQUEST_NAME) },
    { name: "scenario", path: `/scenarios/${scenario}`, heading: new RegExp(SCENARIO_NAME) },
  ];
}

/** Asked for like the demo's own campaign 2301, under another number. */
async function madeRequest(address: string): Promise<number> {
  const { items } = await json<{ items: readonly { number: number; title: string }[] }>(address, "/requests");
  const there = items.find(({ title }) => title === REQUEST_NAME);
  if (there) return there.number;
  const order = JSON.stringify(await json(address, "/orders/2301")).replaceAll('"2301', '"2990');
  const body = {
    order: { ...JSON.parse(order), name: REQUEST_NAME },
    campaign: null,
    note: "The coolant is at 10 °C this time.",
  };
  return (await json<{ number: number }>(address, "/requests", body)).number;
}

async function madeScenario(address: string): Promise<string> {
  const { items } = await json<{ items: readonly { id: string; name: string }[] }>(address, "/scenarios");
  const there = items.find(({ name }) => name === SCENARIO_NAME);
  if (there) return there.id;
  const { problem } = await json<{ problem: { origin: string } }>(address, "/plan");
  const day = (ahead: number): string => new Date(Date.parse(problem.origin) + ahead * 86_400_000).toISOString().slice(0, 10);
  const changes = [
    { kind: "machineDown", machine: "mill-1", start: `${day(10)}T06:00`, end: `${day(12)}T06:00`, reason: "Spindle bearing" },
  ];
  return (await json<{ id: string }>(address, "/scenarios", { name: SCENARIO_NAME, note: "", changes })).id;
}

async function json<T>(address: string, path: string, body?: object): Promise<T> {
  const answer = await fetch(`${address}/api/v1${path}`, {
    method: body === undefined ? "GET" : "POST",
    headers: { Accept: "application/json", "Content-Type": "application/json" },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
  return (await answer.json()) as T;
}
