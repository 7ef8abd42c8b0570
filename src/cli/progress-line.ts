/** One line of progress on a terminal, rewritten in place on stderr; silent where stderr is no terminal. */
import type { PlanProgress } from "../core/plan/make-plan.ts";

const WIDTH = 24;

export class ProgressLine {
  private readonly seconds: number | null;
  private readonly iterations: number | null;
  private readonly begun = performance.now();
  private shown = 0;
  private best: PlanProgress | null = null;

  constructor(seconds: number | null, iterations: number | null) {
    this.seconds = seconds;
    this.iterations = iterations;
  }

  show(progress: PlanProgress): void {
    if (this.best === null || progress.conflicts < this.best.conflicts || progress.total <= this.best.total) this.best = progress;
    const now = performance.now();
    if (!process.stderr.isTTY || now - this.shown < 100) return;
    this.shown = now;
    const elapsed = (now - this.begun) / 1000;
    const done = this.seconds === null ? progress.iterations / (this.iterations ?? progress.iterations) : elapsed / this.seconds;
    const filled = Math.max(0, Math.min(WIDTH, Math.round(done * WIDTH)));
    const bar = "#".repeat(filled) + ".".repeat(WIDTH - filled);
    process.stderr.write(`\r\x1b[K[${bar}] ${elapsed.toFixed(0)} s  best ${this.best.total}  ${progress.phase}`);
  }

  end(): void {
    if (process.stderr.isTTY) process.stderr.write("\r\x1b[K");
  }
}
