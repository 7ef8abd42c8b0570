/**
 * Orders pasted from a spreadsheet: text into cells, cells into orders with the operations of their route template, or - in a shop that
 * has none yet - with one operation on a machine, of so many hours.
 * Promises: every fault is named by its row (as the spreadsheet counts them, the row of names being 1) and column;
 * what has no fault is an order the contract accepts. Pure.
 */
import { type OrderBody, orderBodySchema } from "../../../src/contract/api/order.ts";
import type { RouteTemplate } from "../../../src/contract/api/shop.ts";
import { dayOfDate } from "../../../src/core/calendar/wall-clock.ts";
import { schemaFaults } from "../../forms/use-form.ts";
import { parseDuration } from "../../present/duration.ts";
import { words } from "../../words/words.ts";
import { newMode, newOperation, newOrder, newPhase, nextId, withTemplate } from "./order-defaults.ts";

const w = words.pasted;

export type PastedFault = { readonly row: number; readonly column: string; readonly message: string };
export type PastedOrder = { readonly row: number; readonly order: OrderBody };
export type Pasted = { readonly orders: readonly PastedOrder[]; readonly faults: readonly PastedFault[] };

/** What rows may name. */
export type PasteInto = {
  readonly templates: readonly RouteTemplate[];
  readonly machines: readonly { readonly id: string; readonly name?: string | undefined }[];
  /** Of the people who do work that has no route to say who does; undefined: nobody is needed. */
  readonly skill: string | undefined;
};

type Column = keyof typeof w.columnNames;
const COLUMNS = Object.keys(w.columnNames) as readonly Column[];

/** Cells of tab-, semicolon- or comma-separated text; quoted cells may hold separators, line ends and doubled quotes. */
export function cellsOf(text: string): readonly (readonly string[])[] {
  const head = text.slice(0, text.indexOf("\n") === -1 ? text.length : text.indexOf("\n"));
  const separator = head.includes("\t") ? "\t" : head.includes(";") ? ";" : ",";
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = "";
  let quoted = false;
  for (let i = 0; i < text.length; i += 1) {
    const character = text[i] as string;
    if (quoted) {
      if (character !== '"') cell += character;
      else if (text[i + 1] === '"') {
        cell += '"';
        i += 1;
      } else quoted = false;
    } else if (character === '"' && cell === "") quoted = true;
    else if (character === separator) {
      row.push(cell.trim());
      cell = "";
    } else if (character === "\n") {
      row.push(cell.trim());
      rows.push(row);
      row = [];
      cell = "";
    } else if (character !== "\r") cell += character;
  }
  if (cell !== "" || row.length > 0) rows.push([...row, cell.trim()]);
  return rows;
}

/** ISO, or day first with dots, or with slashes where only one reading is possible; a time may follow. */
export function pastedMoment(text: string): { readonly moment: string } | { readonly message: string } {
  const match = /^(\d{1,4})([-./])(\d{1,2})\2(\d{1,4})(?:[ T]+(\d{1,2}):(\d{2})(?::\d{2})?)?$/.exec(text);
  if (!match) return { message: w.date(text) };
  const [, first = "", mark = "", second = "", third = "", hour, minute] = match;
  let date: readonly [string, string, string];
  if (first.length === 4) date = [first, second, third];
  else if (third.length !== 4) return { message: w.date(text) };
  else if (mark !== "/") date = [third, second, first];
  else if (Number(first) > 12) date = [third, second, first];
  else if (Number(second) > 12) date = [third, first, second];
  else if (first === second) date = [third, first, second];
  else return { message: w.ambiguous(text) };
  const day = date.map((part, i) => (i === 0 ? part : part.padStart(2, "0"))).join("-");
  if (dayOfDate(day) === null || Number(hour ?? 0) > 23 || Number(minute ?? 0) > 59) return { message: w.date(text) };
  return { moment: hour === undefined ? day : `${day}T${hour.padStart(2, "0")}:${minute}` };
}

const known = (name: string, names: readonly string[]): boolean => names.includes(name.toLowerCase().trim());

export function pastedOrders(text: string, into: PasteInto, book: readonly string[], today: string): Pasted {
  const rows = cellsOf(text);
  const header = rows[0];
  if (!header) return { orders: [], faults: [] };
  const columns = header.map((name) => COLUMNS.find((column) => known(name, w.columnNames[column])));
  if (!columns.includes("route") && !columns.includes("machine"))
    return { orders: [], faults: [{ row: 1, column: "", message: w.noHeader }] };
  const faults: PastedFault[] = header.flatMap((name, i) =>
    columns[i] === undefined && name !== "" ? [{ row: 1, column: name, message: w.unknownColumn(name) }] : [],
  );
  const blocking: PastedFault[] = [];
  const orders: PastedOrder[] = [];
  const taken = new Set(book);
  const here = new Set<string>();

  rows.slice(1).forEach((cells, i) => {
    const row = i + 2;
    if (cells.every((cell) => cell === "")) return;
    const cell = (column: Column): string => {
      const at = columns.indexOf(column);
      return at === -1 ? "" : (cells[at] ?? "");
    };
    const before = blocking.length;
    const fault = (column: Column, message: string): void =>
      void blocking.push({ row, column: header[columns.indexOf(column)] ?? column, message });
    const order = orderOfRow(cell, fault, nextId([...taken, ...here]), into, today);
    if (taken.has(order.id)) fault("id", w.taken(order.id));
    else if (here.has(order.id)) fault("id", w.twice(order.id));
    here.add(order.id);
    if (blocking.length > before) return;
    const refused = schemaFaults(orderBodySchema, order);
    if (refused.length === 0) orders.push({ row, order });
    for (const { pointer, message } of refused) {
      const field = COLUMNS.find((column) => pointer.startsWith(`/${column}`)) ?? "route";
      fault(field, message);
    }
  });
  return { orders, faults: [...blocking, ...faults] };
}

function orderOfRow(
  cell: (column: Column) => string,
  fault: (column: Column, message: string) => void,
  freeId: string,
  { templates, machines, skill }: PasteInto,
  today: string,
): OrderBody {
  const whole = (column: "quantity" | "weight", usual: number): number => {
    const text = cell(column);
    if (text === "") return usual;
    if (/^\d+$/.test(text)) return Number(text);
    fault(column, w.whole(text));
    return usual;
  };
  const moment = <T>(column: "release" | "due", usual: T): string | T => {
    const text = cell(column);
    if (text === "") return usual;
    const read = pastedMoment(text);
    if ("moment" in read) return read.moment;
    fault(column, read.message);
    return usual;
  };
  const kinds = Object.keys(w.kindNames) as (keyof typeof w.kindNames)[];
  const kindText = cell("kind");
  const kind = kindText === "" ? "production" : kinds.find((name) => known(kindText, w.kindNames[name]));
  if (!kind) fault("kind", w.unknownKind(kindText, kinds.map((name) => words.orders.kinds[name]).join(", ")));
  const routeText = cell("route");
  const alone = routeText === "" && cell("machine") !== "" ? oneOperation(cell, fault, machines, skill) : null;
  const names = templates.map(({ id, name }) => name || id).join(", ");
  const template = templates.find(({ id, name }) => known(routeText, [id.toLowerCase(), (name || id).toLowerCase()]));
  if (!template && alone === null)
    fault(
      "route",
      templates.length === 0 ? w.noTemplates : routeText === "" ? w.noRoute(names) : w.unknownRoute(routeText, names),
    );
  const order: OrderBody = {
    ...newOrder(cell("id") || freeId, today),
    name: cell("name") || undefined,
    kind: kind ?? "production",
    quantity: whole("quantity", 1),
    weight: whole("weight", 1),
    release: moment("release", today),
    due: moment("due", null),
    requester: cell("requester") || null,
  };
  if (alone !== null) return { ...order, operations: alone === undefined ? [] : [newOperation(`${order.id}/10`, alone)] };
  return template ? withTemplate(order, template) : order;
}

/** The one operation of a row without a route: "Mill 1", "3 h 40". undefined: it cannot be read, and why is told. */
function oneOperation(
  cell: (column: Column) => string,
  fault: (column: Column, message: string) => void,
  machines: PasteInto["machines"],
  skill: string | undefined,
): ReturnType<typeof newMode> | undefined {
  const [machineText, hoursText] = [cell("machine"), cell("hours")];
  const machine = machines.find(({ id, name }) => known(machineText, [id.toLowerCase(), (name || id).toLowerCase()]));
  if (!machine) fault("machine", w.unknownMachine(machineText, machines.map(({ id, name }) => name || id).join(", ")));
  // A bare number in a column of hours means hours.
  const minutes = parseDuration(/^\d+([.,]\d+)?$/.test(hoursText) ? `${hoursText} h` : hoursText);
  if (minutes === null || minutes === 0) fault("hours", w.hours(hoursText));
  if (!machine || minutes === null || minutes === 0) return undefined;
  const mode = newMode(machine.id, [machine.id], skill);
  const needs = mode.phases[0]?.needs ?? [];
  return { ...mode, phases: [{ ...newPhase("run"), work: { kind: "fixed", minutes }, needs }] };
}

/** Faults that only say a column is left out do not stand in the way. */
export const isBlocking = (fault: PastedFault): boolean => fault.row > 1 || fault.column === "";

/** A list for spreadsheets: semicolons where decimals have commas make trouble, so commas and quotes as in RFC 4180. */
export const csvOf = (rows: readonly (readonly string[])[]): string =>
  rows.map((row) => row.map((cell) => (/[",\n]/.test(cell) ? `"${cell.replace(/"/g, '""')}"` : cell)).join(",")).join("\r\n");
