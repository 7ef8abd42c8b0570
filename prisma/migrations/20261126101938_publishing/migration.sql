-- Publishing keeps what was looked at: the cautions with the names that acknowledged them, and the problem as it stood, so that
-- an old version can be shown and compared. Drafts can be proposed to those who may publish. What a shop settles about itself
-- (what may go otherwise, its cautions, who may publish) stands by name.
-- AlterTable
ALTER TABLE "published_version" ADD COLUMN     "cautions" JSONB NOT NULL DEFAULT '[]',
ADD COLUMN     "problem" JSONB;

-- CreateTable
CREATE TABLE "plan_proposal" (
    "id" SERIAL NOT NULL,
    "draft" INTEGER NOT NULL,
    "plan" JSONB NOT NULL,
    "note" TEXT NOT NULL,
    "proposed_by" TEXT NOT NULL,
    "proposed_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "state" TEXT NOT NULL DEFAULT 'open',
    "decided_by" TEXT,
    "decided_at" TIMESTAMPTZ(3),
    "reason" TEXT NOT NULL DEFAULT '',
    "version" INTEGER,

    CONSTRAINT "plan_proposal_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "setting" (
    "name" TEXT NOT NULL,
    "value" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,
    "changed_by" TEXT NOT NULL,
    "changed_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "setting_pkey" PRIMARY KEY ("name")
);

-- CreateIndex
CREATE INDEX "plan_proposal_state_idx" ON "plan_proposal"("state");

ALTER TABLE "plan_proposal"
  ADD CONSTRAINT "plan_proposal_state" CHECK ("state" IN ('open', 'published', 'declined', 'withdrawn', 'overtaken'));
