/** What a question is asked about: null for the draft plan, else a scenario. */
import { z } from "zod";

export const scenarioIdSchema = z
  .uuid()
  .nullable()
  .default(null)
  .meta({ description: "A scenario to ask about; null or left out: the draft plan." });
