/** Goes through every checklist that is shown: ticks each point and signs with a name, as a planner would. */
import type { Locator } from "playwright-core";

export async function goThroughCautions(within: Locator, name: string): Promise<number> {
  const lists = within.locator("fieldset.caution");
  const count = await lists.count();
  for (let i = 0; i < count; i++) {
    const list = lists.nth(i);
    for (const box of await list.getByRole("checkbox").all()) await box.check();
    await list.getByRole("textbox").fill(name);
  }
  return count;
}
