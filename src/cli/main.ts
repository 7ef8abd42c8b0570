/**
 * The command line: commands over files. Exit codes: 0 done; 1 the answer is "no" (conflicts found, a plan broke a rule);
 * 2 bad input, said with file, line or field, nothing written; 3 a defect of ours.
 */
import { BENCH_HELP, benchCommand } from "./bench-command.ts";
import { CHECK_HELP, checkCommand } from "./check-command.ts";
import { COMPARE_HELP, compareCommand } from "./compare-command.ts";
import { CONTRACT_HELP, contractCommand } from "./contract-command.ts";
import { ESTIMATE_HELP, estimateCommand } from "./estimate-command.ts";
import { CommandFailure } from "./failure.ts";
import { FREE_HELP, freeCommand } from "./free-command.ts";
import { HOLD_OUT_HELP, holdOutCommand } from "./hold-out-command.ts";
import { NIGHT_HELP, nightCommand } from "./night-command.ts";
import { PLAN_HELP, planCommand } from "./plan-command.ts";
import { PROMISE_HELP, promiseCommand } from "./promise-command.ts";
import { RISK_HELP, riskCommand } from "./risk-command.ts";
import { RUSH_HELP, rushCommand } from "./rush-command.ts";
import { SCHEMA_HELP, schemaCommand } from "./schema-command.ts";
import { WHY_HELP, whyCommand } from "./why-command.ts";

const COMMANDS: Readonly<Record<string, { readonly run: (args: string[]) => number | Promise<number>; readonly help: string }>> =
  {
    plan: { run: planCommand, help: PLAN_HELP },
    check: { run: checkCommand, help: CHECK_HELP },
    bench: { run: benchCommand, help: BENCH_HELP },
    rush: { run: rushCommand, help: RUSH_HELP },
    promise: { run: promiseCommand, help: PROMISE_HELP },
    free: { run: freeCommand, help: FREE_HELP },
    night: { run: nightCommand, help: NIGHT_HELP },
    why: { run: whyCommand, help: WHY_HELP },
    "hold-out": { run: holdOutCommand, help: HOLD_OUT_HELP },
    risk: { run: riskCommand, help: RISK_HELP },
    compare: { run: compareCommand, help: COMPARE_HELP },
    contract: { run: contractCommand, help: CONTRACT_HELP },
    estimate: { run: estimateCommand, help: ESTIMATE_HELP },
    schema: { run: schemaCommand, help: SCHEMA_HELP },
  };

const HELP = `Slotwright plans shared machines and test rigs. Commands over files:

${Object.values(COMMANDS)
  .map((command) => command.help)
  .join("\n\n")}

slotwright <command> --help shows one of them. The server with its screens starts with npm start.`;

async function main(args: string[]): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === "--help" || name === "-h" || name === "help") {
    console.log(HELP);
    return name === undefined ? 2 : 0;
  }
  const command = COMMANDS[name];
  if (!command) throw new CommandFailure(`there is no command ${name}; the commands are ${Object.keys(COMMANDS).join(", ")}`);
  if (rest.includes("--help") || rest.includes("-h")) {
    console.log(command.help);
    return 0;
  }
  return command.run(withSigns(rest));
}

/** "--seed -1" is a value out of its range, which the command says, and no second option. */
function withSigns(args: readonly string[]): string[] {
  const whole: string[] = [];
  for (const arg of args) {
    const last = whole.at(-1) ?? "";
    if (/^--[a-z-]+$/.test(last) && /^-\d/.test(arg)) whole[whole.length - 1] = `${last}=${arg}`;
    else whole.push(arg);
  }
  return whole;
}

try {
  process.exitCode = await main(process.argv.slice(2));
} catch (error) {
  if (error instanceof CommandFailure) {
    console.error(error.message);
    process.exitCode = error.exitCode;
  } else if (error instanceof TypeError && "code" in error && String(error.code).startsWith("ERR_PARSE_ARGS")) {
    console.error(error.message);
    process.exitCode = 2;
  } else {
    console.error("This is a defect of Slotwright; the same command shows it again:");
    console.error(error instanceof Error ? (error.stack ?? error.message) : error);
    process.exitCode = 3;
  }
}
