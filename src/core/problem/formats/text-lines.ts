/**
 * Reading blank-separated whole numbers from the lines of a benchmark file, with faults that name the line and what was expected.
 * Knows no format; the format files use it. Nothing is guessed: a missing number, a surplus one and a word are all faults.
 */
import type { Fault } from "../../ground/result.ts";

/** Thrown inside a reader and turned into a Result at its door, so that format code reads straight through. */
export class FormatFault extends Error {
  readonly fault: Fault;
  constructor(line: number, message: string) {
    super(`line ${line}: ${message}`);
    this.fault = { at: `line ${line}`, message };
  }
}

/** One line: its 1-based number and its words. */
export type Line = { readonly number: number; readonly words: readonly string[] };

/** The lines that hold anything. */
export function filledLines(text: string): Line[] {
  return text
    .split(/\r\n|\r|\n/)
    .map((line, index) => ({
      number: index + 1,
      words: line
        .trim()
        .split(/\s+/)
        .filter((word) => word !== ""),
    }))
    .filter((line) => line.words.length > 0);
}

/** Hands out the numbers of one line in turn. */
export class NumberReader {
  private readonly line: Line;
  private at = 0;
  constructor(line: Line) {
    this.line = line;
  }

  /** The next whole number within [low, high]. */
  take(what: string, low: number, high: number): number {
    const word = this.line.words[this.at];
    if (word === undefined)
      throw new FormatFault(this.line.number, `expected ${what}, but the line ends after ${this.at} numbers`);
    const value = Number(word);
    if (!/^[+-]?\d+$/.test(word) || !Number.isSafeInteger(value)) {
      throw new FormatFault(this.line.number, `expected ${what} as a whole number, found "${word}"`);
    }
    if (value < low || value > high) {
      throw new FormatFault(this.line.number, `expected ${what} from ${low} to ${high}, found ${value}`);
    }
    this.at += 1;
    return value;
  }

  /** Nothing may follow. */
  close(): void {
    const rest = this.line.words.length - this.at;
    if (rest > 0)
      throw new FormatFault(this.line.number, `expected the line to end after ${this.at} numbers, found ${rest} more`);
  }

  get done(): boolean {
    return this.at >= this.line.words.length;
  }
}

/** The line at an index, or a fault at the file's end that says what is missing. */
export function lineAt(lines: readonly Line[], index: number, what: string): Line {
  const line = lines[index];
  if (line === undefined) throw new FormatFault((lines.at(-1)?.number ?? 0) + 1, `expected ${what}, but the file ends`);
  return line;
}

export function noMoreLines(lines: readonly Line[], index: number, after: string): void {
  const line = lines[index];
  if (line !== undefined) throw new FormatFault(line.number, `expected nothing after ${after}, found "${line.words.join(" ")}"`);
}

/** Limits of what a file may declare: far above any published set, low enough that a wrong file cannot exhaust memory. */
export const COUNT_MAX = 100_000;
export const TIME_MAX = 10_000_000;
