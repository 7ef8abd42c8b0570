/**
 * JSON text with positions, so that a fault can name the line a person has to look at. Strict JSON: no comments, no trailing
 * commas, no field twice (of two the first would be lost without a word).
 */
import { findNodeAtLocation, getNodeValue, type Node, type ParseError, parseTree, printParseErrorCode } from "jsonc-parser";
import { err, type Fault, ok, type Result } from "../../core/ground/result.ts";

export type JsonText = {
  readonly value: unknown;
  /** The faults of the value, each with the line of the place it names, or of the nearest place around it. */
  withLines(faults: readonly Fault[]): readonly Fault[];
};

/** In plain words what the parser expected; other codes are shown as they are. */
const EXPECTED: Readonly<Record<string, string>> = {
  InvalidSymbol: "expected a value (a text in double quotes, a number, true, false, null, a list or an object)",
  InvalidNumberFormat: "expected a number such as 12",
  PropertyNameExpected: "expected the name of a field in double quotes",
  ValueExpected: "expected a value",
  ColonExpected: "expected a colon after the name of a field",
  CommaExpected: "expected a comma between two entries",
  CloseBraceExpected: "expected a closing brace }",
  CloseBracketExpected: "expected a closing bracket ]",
  EndOfFileExpected: "expected nothing more after the end",
  InvalidCommentToken: "expected no comments; JSON has none, use the fields `notes`",
  UnexpectedEndOfString: "expected the closing double quote of a text",
};

export function readJsonText(text: string): Result<JsonText, readonly Fault[]> {
  const clean = text.replace(/^\uFEFF/, "");
  const lineOf = lineFinder(clean);
  const errors: ParseError[] = [];
  const tree = parseTree(clean, errors, { disallowComments: true, allowTrailingComma: false });
  if (errors.length > 0 || tree === undefined) {
    const [first] = errors;
    const code = first === undefined ? "ValueExpected" : printParseErrorCode(first.error);
    return err([{ at: `line ${lineOf(first?.offset ?? 0)}`, message: EXPECTED[code] ?? `is not JSON (${code})` }]);
  }
  const twice = repeatedField(tree);
  if (twice)
    return err([
      { at: `line ${lineOf(twice.offset)}`, message: `expected each field once, found "${String(twice.value)}" a second time` },
    ]);
  return ok({
    value: getNodeValue(tree),
    withLines: (faults) =>
      faults.map(({ at, message }) => ({ at: `line ${lineOf(nearest(tree, stepsOf(at)).offset)}: ${at}`, message })),
  });
}

/** The line of an offset, from 1, found among the line starts by halving. */
function lineFinder(text: string): (offset: number) => number {
  const starts = [0];
  for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) starts.push(at + 1);
  return (offset) => {
    let low = 0;
    let high = starts.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if ((starts[middle] as number) <= offset) low = middle + 1;
      else high = middle;
    }
    return low;
  };
}

/** The steps of a path as faults write it: `orders[0].due`. */
function stepsOf(at: string): (string | number)[] {
  const steps: (string | number)[] = [];
  for (const match of at.matchAll(/\[(\d+)\]|([^.[\]]+)/g))
    steps.push(match[1] === undefined ? (match[2] as string) : Number(match[1]));
  return steps;
}

function nearest(tree: Node, steps: readonly (string | number)[]): Node {
  for (let length = steps.length; length > 0; length -= 1) {
    const node = findNodeAtLocation(tree, steps.slice(0, length));
    if (node) return node;
  }
  return tree;
}

/** The name node of a field that an object has twice. */
function repeatedField(node: Node): Node | null {
  const names = new Set<unknown>();
  for (const child of node.children ?? []) {
    const [name] = child.children ?? [];
    if (node.type === "object" && name) {
      if (names.has(name.value)) return name;
      names.add(name.value);
    }
    const below = repeatedField(child);
    if (below) return below;
  }
  return null;
}
