/** Faults name the place and say what was found - except of a secret, which is never repeated on a screen or in an answer. */
import { expect, test } from "vitest";
import { firstAdministratorSchema } from "../../src/contract/api/session.ts";
import { faultsOfSchema } from "../../src/contract/file/faults.ts";

test("a refused password is not repeated, everything else is", () => {
  const parsed = firstAdministratorSchema.safeParse(
    { token: "t", name: "", email: "ada", password: "short" },
    { reportInput: true },
  );
  const faults = parsed.success ? [] : faultsOfSchema(parsed.error);
  const at = new Map(faults.map((fault) => [fault.at, fault.message]));
  expect(at.get("password")).toBe("expected at least 10 characters");
  expect(at.get("name")).toBe('expected at least 1 characters, found ""');
  expect(JSON.stringify(faults)).not.toContain("short");
});
