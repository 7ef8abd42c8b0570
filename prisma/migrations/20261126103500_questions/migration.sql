-- What somebody asked and a worker answers; kept a day, so that a screen that comes back finds its answer.
CREATE TABLE "question" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'queued',
    "input" JSONB NOT NULL,
    "progress" JSONB,
    "answer" JSONB,
    "error" TEXT,
    "asked_by" TEXT NOT NULL,
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "seed" INTEGER NOT NULL,
    "draft_number" INTEGER,
    "shop_revision" INTEGER,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "finished_at" TIMESTAMPTZ(3),

    CONSTRAINT "question_pkey" PRIMARY KEY ("id")
);

CREATE INDEX "question_state_idx" ON "question"("state");
CREATE INDEX "question_created_at_idx" ON "question"("created_at");
