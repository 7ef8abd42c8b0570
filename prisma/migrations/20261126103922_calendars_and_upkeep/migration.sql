-- Calendars that other programs subscribe to: the secret addresses, and what was last said of each event, because a calendar
-- only follows a change whose UID stayed and whose SEQUENCE grew. And rules by which maintenance and calibration come again,
-- with what each has raised, so that nothing is raised twice and nothing that a person removed comes back.
-- CreateTable
CREATE TABLE "calendar_feed" (
    "id" UUID NOT NULL,
    "audience" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "content" TEXT NOT NULL,
    "secret_hash" TEXT NOT NULL,
    "made_by" TEXT NOT NULL,
    "made_by_id" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "calendar_feed_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "calendar_entry" (
    "audience" TEXT NOT NULL,
    "operation_id" TEXT NOT NULL,
    "lot" INTEGER NOT NULL,
    "part" INTEGER NOT NULL,
    "uid" TEXT NOT NULL,
    "sequence" INTEGER NOT NULL DEFAULT 0,
    "hash" TEXT NOT NULL,
    "body" JSONB NOT NULL,
    "start_at" TIMESTAMPTZ(3) NOT NULL,
    "end_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL,
    "changed_at" TIMESTAMPTZ(3) NOT NULL,
    "cancelled_at" TIMESTAMPTZ(3),

    CONSTRAINT "calendar_entry_pkey" PRIMARY KEY ("audience","operation_id","lot","part")
);

-- CreateTable
CREATE TABLE "upkeep_rule" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "machine_id" TEXT NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "upkeep_rule_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "upkeep_task" (
    "rule_id" TEXT NOT NULL,
    "occasion" TEXT NOT NULL,
    "order_id" TEXT NOT NULL,
    "raised_by" TEXT NOT NULL,
    "raised_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "upkeep_task_pkey" PRIMARY KEY ("rule_id","occasion")
);

-- CreateIndex
CREATE UNIQUE INDEX "calendar_feed_secret_hash_key" ON "calendar_feed"("secret_hash");

-- CreateIndex
CREATE INDEX "calendar_feed_made_by_id_idx" ON "calendar_feed"("made_by_id");

-- CreateIndex
CREATE UNIQUE INDEX "calendar_entry_uid_key" ON "calendar_entry"("uid");

-- CreateIndex
CREATE INDEX "upkeep_rule_machine_id_idx" ON "upkeep_rule"("machine_id");

-- AddForeignKey
ALTER TABLE "upkeep_rule" ADD CONSTRAINT "upkeep_rule_machine_id_fkey" FOREIGN KEY ("machine_id") REFERENCES "machine"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "upkeep_task" ADD CONSTRAINT "upkeep_task_rule_id_fkey" FOREIGN KEY ("rule_id") REFERENCES "upkeep_rule"("id") ON DELETE CASCADE ON UPDATE CASCADE;
