-- What-ifs beside the plan: planners branch the shop, change it and plan it without touching what people follow. The changes are
-- intents applied when looked at, so a scenario never carries old copies of orders or machines into the shop.
CREATE TABLE "scenario" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "changes" JSONB NOT NULL,
    "plan" JSONB,
    "based_on_draft" INTEGER,
    "author" TEXT NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'open',
    "revision" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "changed_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "changed_by" TEXT NOT NULL,

    CONSTRAINT "scenario_pkey" PRIMARY KEY ("id")
);

ALTER TABLE "scenario"
  ADD CONSTRAINT "scenario_state" CHECK ("state" IN ('open', 'merged', 'dropped'));

CREATE INDEX "scenario_state_idx" ON "scenario"("state");
