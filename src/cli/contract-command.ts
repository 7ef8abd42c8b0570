/**
 * `slotwright contract`: can the shop take on so many orders a week, and where does it break first? Works on a copy; writes nothing.
 * The last line on stdout is one JSON object.
 */
import { parseArgs } from "node:util";
import { routeTemplateSchema } from "../contract/api/shop.ts";
import { faultsOfSchema } from "../contract/file/faults.ts";
import { writePlanFile } from "../contract/plan-file.ts";
import { problemFileSchema } from "../contract/problem-file.ts";
import { newOrdersSchema, type ScenarioChange } from "../contract/scenario/change.ts";
import { askContract, type ContractHelp, type ContractVariant } from "../contract/scenario/contract-question.ts";
import { dateOfDay, dayOfDate } from "../core/calendar/wall-clock.ts";
import { makePlan } from "../core/plan/make-plan.ts";
import { CommandFailure, failureOfFaults } from "./failure.ts";
import { ITERATIONS_MAX, SEED_MAX, wholeOption } from "./options.ts";
import { readJson, readPlan, readProblem } from "./read-input.ts";

export const CONTRACT_HELP = `slotwright contract <problem> [plan] (--like ORDER | --route FILE) --per-week N --from DATE [options]
  Adds so many orders a week to a copy of the shop and says where it breaks first. Exit code 1: it breaks, with every help too.
  --like ORDER       each order is like this one of the problem
  --route FILE       each order has this route: {"id", "operations": [...], "links": [...]}
  --per-week N       orders each week
  --from DATE        first release, YYYY-MM-DD; a week later the next ones
  --weeks N          for so many weeks (default 6)
  --quantity N       good pieces of each (default: as the order of --like, else 1)
  --lead-days N      promised so many days after release (default 21)
  --machine ID       also try with one more machine or rig like this one
  --shift CREW HH:MM-HH:MM as one word, CREW=22:00-06:00: also try with a second shift of this crew on weekdays
  --iterations N     search steps for each (default 2000)
  --seed K           whole number (default 1)
  Without a plan the shop is planned first. The last line is an object: variants with weeks, breaks, lateOrders, harmed, plan.`;

export function contractCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      like: { type: "string" },
      route: { type: "string" },
      "per-week": { type: "string" },
      from: { type: "string" },
      weeks: { type: "string" },
      quantity: { type: "string" },
      "lead-days": { type: "string" },
      machine: { type: "string" },
      shift: { type: "string" },
      iterations: { type: "string" },
      seed: { type: "string" },
    },
  });
  const [problemFile, planFile, ...rest] = positionals;
  const perWeek = wholeOption("per-week", values["per-week"], 1, 50);
  if (problemFile === undefined || rest.length > 0 || perWeek === undefined || values.from === undefined)
    throw new CommandFailure(CONTRACT_HELP);
  if ((values.like === undefined) === (values.route === undefined))
    throw new CommandFailure("say what each order is like: either --like ORDER or --route FILE");
  if (dayOfDate(values.from) === null)
    throw new CommandFailure(`--from ${values.from}: there is no such date; expected YYYY-MM-DD`);
  const iterations = wholeOption("iterations", values.iterations, 1, ITERATIONS_MAX) ?? 2000;
  const seed = wholeOption("seed", values.seed, 0, SEED_MAX) ?? 1;
  const problem = readProblem(problemFile, "json");
  const shop = problemFileSchema.parse(readJson(problemFile));
  const plan = planFile === undefined ? makePlan(problem, { seed, iterations }).plan : readPlan(planFile, problem);

  const order = values.like === undefined ? null : shop.orders.find(({ id }) => id === values.like);
  if (order === undefined) throw new CommandFailure(`--like ${values.like}: there is no such order in ${problemFile}`);
  const own = new Set(order?.operations.map(({ id }) => id));
  const route = order
    ? {
        id: order.id,
        name: order.name,
        operations: order.operations,
        links: shop.links.filter(({ from, to }) => own.has(from) && own.has(to)),
      }
    : routeFrom(values.route ?? "");
  const contract = newOrdersSchema.parse({
    ...{ kind: "newOrders", prefix: "C", route, perWeek, from: values.from },
    weeks: wholeOption("weeks", values.weeks, 1, 52) ?? 6,
    quantity: wholeOption("quantity", values.quantity, 1, 1_000_000) ?? order?.quantity ?? 1,
    leadDays: wholeOption("lead-days", values["lead-days"], 1, 366) ?? 21,
  });
  const last = dateOfDay((dayOfDate(contract.from) ?? 0) + 7 * contract.weeks + contract.leadDays);
  const used = new Set(contract.route.operations.flatMap(({ modes }) => modes.flatMap(({ machines }) => machines)));
  const helps: ContractHelp[] = [
    ...(values.machine === undefined ? [] : [machineHelp(values.machine)]),
    ...(values.shift === undefined ? [] : [shiftHelp(values.shift, contract.from, last, [...used])]),
  ];
  const asked = askContract(
    shop,
    problem,
    plan,
    contract,
    helps,
    (changed, start) => makePlan(changed, { seed, iterations, start }).plan,
  );
  if (!asked.ok) throw failureOfFaults(problemFile, asked.error);
  for (const variant of asked.value) console.log(lineOf(variant));
  console.log(
    JSON.stringify({
      variants: asked.value.map(({ name, load, plan: found, problem: changed }) => ({
        name,
        ...load,
        plan: writePlanFile(changed, found),
      })),
    }),
  );
  return asked.value.some(({ load }) => load.breaks === null) ? 0 : 1;
}

function routeFrom(file: string) {
  const parsed = routeTemplateSchema.safeParse(readJson(file), { reportInput: true });
  if (!parsed.success) throw failureOfFaults(file, faultsOfSchema(parsed.error));
  return parsed.data;
}

const machineHelp = (like: string): ContractHelp => ({
  name: `one more ${like}`,
  changes: [{ kind: "extraMachine", like, id: `${like} (more)` }],
});

function shiftHelp(text: string, from: string, last: string, machines: string[]): ContractHelp {
  const match = /^(.+)=([01]\d|2[0-3]):([0-5]\d)-([01]\d|2[0-3]):([0-5]\d)$/.exec(text);
  if (!match) throw new CommandFailure(`--shift ${text}: expected CREW=HH:MM-HH:MM, for example fitters=22:00-06:00`);
  const [, crew = "", h1, m1, h2, m2] = match;
  const when = { from, last, days: [1, 2, 3, 4, 5], begin: `${h1}:${m1}`, until: `${h2}:${m2}` };
  const change = { kind: "moreHours", crew, machines, people: null, unsocial: true, when } as ScenarioChange;
  return { name: `${crew} also ${h1}:${m1}-${h2}:${m2}`, changes: [change] };
}

function lineOf({ name, load }: ContractVariant): string {
  const title = name === "" ? "as the shop is" : `with ${name}`;
  const { breaks, orders, lateOrders, harmed } = load;
  if (breaks === null) return `${title}: holds, all ${orders} orders in time; ${harmed.length} orders of today suffer`;
  const late = breaks.late === null ? "is not done within the time planned" : `${breaks.late} min late`;
  const full = breaks.bottleneck;
  const where =
    full === null ? "" : `; fullest: ${full.id}, ${Math.round((100 * full.used) / full.there)} % of its hours until then`;
  return `${title}: breaks first in the week of ${breaks.week}: ${breaks.order} ${late}${where}; ${lateOrders} of ${orders} late`;
}
