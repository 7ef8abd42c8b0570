-- The shop's tables. btree_gist lets an exclusion constraint compare a machine for equality beside a time range.
CREATE EXTENSION IF NOT EXISTS btree_gist;

-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "site" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "name" TEXT NOT NULL,
    "zone" TEXT NOT NULL,
    "origin" TIMESTAMPTZ(3) NOT NULL,
    "fixed_now" INTEGER,
    "horizon_minutes" INTEGER NOT NULL,
    "freeze_minutes" INTEGER,
    "weights" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,
    "shop_revision" INTEGER NOT NULL DEFAULT 1,
    "draft_number" INTEGER,
    "published_version" INTEGER,
    "demo_revision" INTEGER,
    "demo_loaded_at" TIMESTAMPTZ(3),

    CONSTRAINT "site_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "calendar" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "calendar_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "setup_table" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "setup_table_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "machine" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,
    "calendar_id" TEXT,
    "unattended_calendar_id" TEXT,
    "setup_table_id" TEXT,

    CONSTRAINT "machine_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "crew" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,
    "calendar_id" TEXT,

    CONSTRAINT "crew_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "supply" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "supply_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "supply_calendar" (
    "supply_id" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "calendar_id" TEXT NOT NULL,

    CONSTRAINT "supply_calendar_pkey" PRIMARY KEY ("supply_id","position")
);

-- CreateTable
CREATE TABLE "kit" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "kit_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "kit_calendar" (
    "kit_id" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "calendar_id" TEXT NOT NULL,

    CONSTRAINT "kit_calendar_pkey" PRIMARY KEY ("kit_id","position")
);

-- CreateTable
CREATE TABLE "route_template" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "route_template_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "customer_order" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" SERIAL NOT NULL,
    "kind" TEXT NOT NULL,
    "quantity" INTEGER NOT NULL,
    "scrap_per_mille" INTEGER NOT NULL,
    "weight" INTEGER NOT NULL,
    "requester" TEXT,
    "notes" TEXT NOT NULL DEFAULT '',
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "customer_order_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "operation" (
    "id" TEXT NOT NULL,
    "order_id" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "name" TEXT NOT NULL,
    "pieces_per_unit" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "pin" JSONB,
    "progress" JSONB,
    "reported_minute" INTEGER,

    CONSTRAINT "operation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "operation_mode" (
    "operation_id" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "calendar_id" TEXT,

    CONSTRAINT "operation_mode_pkey" PRIMARY KEY ("operation_id","id")
);

-- CreateTable
CREATE TABLE "mode_machine" (
    "operation_id" TEXT NOT NULL,
    "mode_id" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "machine_id" TEXT NOT NULL,
    "family" JSONB,

    CONSTRAINT "mode_machine_pkey" PRIMARY KEY ("operation_id","mode_id","position")
);

-- CreateTable
CREATE TABLE "phase" (
    "operation_id" TEXT NOT NULL,
    "mode_id" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "flow" TEXT NOT NULL,
    "minutes" INTEGER,
    "seconds_per_piece" INTEGER,
    "max_wait" INTEGER,
    "needs" JSONB NOT NULL,

    CONSTRAINT "phase_pkey" PRIMARY KEY ("operation_id","mode_id","position")
);

-- CreateTable
CREATE TABLE "phase_draw" (
    "operation_id" TEXT NOT NULL,
    "mode_id" TEXT NOT NULL,
    "phase" INTEGER NOT NULL,
    "position" INTEGER NOT NULL,
    "supply_id" TEXT NOT NULL,
    "amount" INTEGER NOT NULL,

    CONSTRAINT "phase_draw_pkey" PRIMARY KEY ("operation_id","mode_id","phase","position")
);

-- CreateTable
CREATE TABLE "operation_kit" (
    "operation_id" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "kit_id" TEXT NOT NULL,
    "count" INTEGER NOT NULL,

    CONSTRAINT "operation_kit_pkey" PRIMARY KEY ("operation_id","position")
);

-- CreateTable
CREATE TABLE "link" (
    "id" TEXT NOT NULL,
    "position" SERIAL NOT NULL,
    "kind" TEXT NOT NULL,
    "from_id" TEXT NOT NULL,
    "to_id" TEXT NOT NULL,
    "min_lag" INTEGER,
    "max_lag" INTEGER,
    "pieces" INTEGER,
    "body" JSONB NOT NULL,

    CONSTRAINT "link_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "kit_span" (
    "id" TEXT NOT NULL,
    "position" SERIAL NOT NULL,
    "kit_id" TEXT NOT NULL,
    "count" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "from_id" TEXT NOT NULL,
    "to_id" TEXT NOT NULL,

    CONSTRAINT "kit_span_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "run_hour_rule" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "machine_id" TEXT NOT NULL,
    "counter" INTEGER NOT NULL,
    "limit_minutes" INTEGER NOT NULL,
    "body" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "run_hour_rule_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "run_hour_rule_operation" (
    "rule_id" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "operation_id" TEXT NOT NULL,

    CONSTRAINT "run_hour_rule_operation_pkey" PRIMARY KEY ("rule_id","position")
);

-- CreateTable
CREATE TABLE "draft_revision" (
    "number" SERIAL NOT NULL,
    "previous" INTEGER,
    "plan" JSONB NOT NULL,
    "note" TEXT NOT NULL,
    "author" TEXT NOT NULL,
    "based_on" INTEGER,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "draft_revision_pkey" PRIMARY KEY ("number")
);

-- CreateTable
CREATE TABLE "published_version" (
    "version" INTEGER NOT NULL,
    "plan" JSONB NOT NULL,
    "changes" JSONB NOT NULL,
    "note" TEXT NOT NULL,
    "acknowledged_by" TEXT,
    "published_by" TEXT NOT NULL,
    "published_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "published_version_pkey" PRIMARY KEY ("version")
);

-- CreateTable
CREATE TABLE "published_lot" (
    "id" SERIAL NOT NULL,
    "version" INTEGER NOT NULL,
    "operation_id" TEXT NOT NULL,
    "lot" INTEGER NOT NULL,
    "machine_id" TEXT NOT NULL,
    "start_at" TIMESTAMPTZ(3) NOT NULL,
    "end_at" TIMESTAMPTZ(3) NOT NULL,
    "during" tstzrange GENERATED ALWAYS AS (tstzrange("start_at", "end_at", '[)')) STORED,

    CONSTRAINT "published_lot_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "run" (
    "id" UUID NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'queued',
    "options" JSONB NOT NULL,
    "progress" JSONB,
    "requested_by" TEXT NOT NULL,
    "revision" INTEGER,
    "outcome" JSONB,
    "error" TEXT,
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "started_at" TIMESTAMPTZ(3),
    "finished_at" TIMESTAMPTZ(3),

    CONSTRAINT "run_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "audit_entry" (
    "id" BIGSERIAL NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "actor" TEXT NOT NULL,
    "action" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "detail" JSONB NOT NULL,

    CONSTRAINT "audit_entry_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "user" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT NOT NULL,
    "emailVerified" BOOLEAN NOT NULL DEFAULT false,
    "image" TEXT,
    "role" TEXT NOT NULL DEFAULT 'viewer',
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "user_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "session" (
    "id" TEXT NOT NULL,
    "expiresAt" TIMESTAMPTZ(3) NOT NULL,
    "token" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "ipAddress" TEXT,
    "userAgent" TEXT,
    "userId" TEXT NOT NULL,

    CONSTRAINT "session_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "account" (
    "id" TEXT NOT NULL,
    "accountId" TEXT NOT NULL,
    "providerId" TEXT NOT NULL,
    "userId" TEXT NOT NULL,
    "accessToken" TEXT,
    "refreshToken" TEXT,
    "idToken" TEXT,
    "accessTokenExpiresAt" TIMESTAMPTZ(3),
    "refreshTokenExpiresAt" TIMESTAMPTZ(3),
    "scope" TEXT,
    "password" TEXT,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "account_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "verification" (
    "id" TEXT NOT NULL,
    "identifier" TEXT NOT NULL,
    "value" TEXT NOT NULL,
    "expiresAt" TIMESTAMPTZ(3) NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "verification_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "rateLimit" (
    "id" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "count" INTEGER NOT NULL,
    "lastRequest" BIGINT NOT NULL,

    CONSTRAINT "rateLimit_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "secret" (
    "name" TEXT NOT NULL,
    "value" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "secret_pkey" PRIMARY KEY ("name")
);

-- CreateIndex
CREATE INDEX "supply_calendar_calendar_id_idx" ON "supply_calendar"("calendar_id");

-- CreateIndex
CREATE INDEX "kit_calendar_calendar_id_idx" ON "kit_calendar"("calendar_id");

-- CreateIndex
CREATE INDEX "operation_order_id_idx" ON "operation"("order_id");

-- CreateIndex
CREATE INDEX "mode_machine_machine_id_idx" ON "mode_machine"("machine_id");

-- CreateIndex
CREATE UNIQUE INDEX "mode_machine_operation_id_mode_id_machine_id_key" ON "mode_machine"("operation_id", "mode_id", "machine_id");

-- CreateIndex
CREATE INDEX "phase_draw_supply_id_idx" ON "phase_draw"("supply_id");

-- CreateIndex
CREATE INDEX "operation_kit_kit_id_idx" ON "operation_kit"("kit_id");

-- CreateIndex
CREATE INDEX "link_from_id_idx" ON "link"("from_id");

-- CreateIndex
CREATE INDEX "link_to_id_idx" ON "link"("to_id");

-- CreateIndex
CREATE INDEX "kit_span_kit_id_idx" ON "kit_span"("kit_id");

-- CreateIndex
CREATE INDEX "kit_span_from_id_idx" ON "kit_span"("from_id");

-- CreateIndex
CREATE INDEX "kit_span_to_id_idx" ON "kit_span"("to_id");

-- CreateIndex
CREATE INDEX "run_hour_rule_machine_id_idx" ON "run_hour_rule"("machine_id");

-- CreateIndex
CREATE INDEX "run_hour_rule_operation_operation_id_idx" ON "run_hour_rule_operation"("operation_id");

-- CreateIndex
CREATE INDEX "draft_revision_previous_idx" ON "draft_revision"("previous");

-- CreateIndex
CREATE INDEX "published_lot_version_idx" ON "published_lot"("version");

-- CreateIndex
CREATE INDEX "published_lot_operation_id_idx" ON "published_lot"("operation_id");

-- CreateIndex
CREATE INDEX "run_created_at_idx" ON "run"("created_at");

-- CreateIndex
CREATE INDEX "audit_entry_subject_idx" ON "audit_entry"("subject");

-- CreateIndex
CREATE UNIQUE INDEX "user_email_key" ON "user"("email");

-- CreateIndex
CREATE UNIQUE INDEX "session_token_key" ON "session"("token");

-- CreateIndex
CREATE INDEX "session_userId_idx" ON "session"("userId");

-- CreateIndex
CREATE INDEX "account_userId_idx" ON "account"("userId");

-- CreateIndex
CREATE INDEX "verification_identifier_idx" ON "verification"("identifier");

-- CreateIndex
CREATE UNIQUE INDEX "rateLimit_key_key" ON "rateLimit"("key");

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_draft_number_fkey" FOREIGN KEY ("draft_number") REFERENCES "draft_revision"("number") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_published_version_fkey" FOREIGN KEY ("published_version") REFERENCES "published_version"("version") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "machine" ADD CONSTRAINT "machine_calendar_id_fkey" FOREIGN KEY ("calendar_id") REFERENCES "calendar"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "machine" ADD CONSTRAINT "machine_unattended_calendar_id_fkey" FOREIGN KEY ("unattended_calendar_id") REFERENCES "calendar"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "machine" ADD CONSTRAINT "machine_setup_table_id_fkey" FOREIGN KEY ("setup_table_id") REFERENCES "setup_table"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "crew" ADD CONSTRAINT "crew_calendar_id_fkey" FOREIGN KEY ("calendar_id") REFERENCES "calendar"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "supply_calendar" ADD CONSTRAINT "supply_calendar_supply_id_fkey" FOREIGN KEY ("supply_id") REFERENCES "supply"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "supply_calendar" ADD CONSTRAINT "supply_calendar_calendar_id_fkey" FOREIGN KEY ("calendar_id") REFERENCES "calendar"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "kit_calendar" ADD CONSTRAINT "kit_calendar_kit_id_fkey" FOREIGN KEY ("kit_id") REFERENCES "kit"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "kit_calendar" ADD CONSTRAINT "kit_calendar_calendar_id_fkey" FOREIGN KEY ("calendar_id") REFERENCES "calendar"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "operation" ADD CONSTRAINT "operation_order_id_fkey" FOREIGN KEY ("order_id") REFERENCES "customer_order"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "operation_mode" ADD CONSTRAINT "operation_mode_operation_id_fkey" FOREIGN KEY ("operation_id") REFERENCES "operation"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "operation_mode" ADD CONSTRAINT "operation_mode_calendar_id_fkey" FOREIGN KEY ("calendar_id") REFERENCES "calendar"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "mode_machine" ADD CONSTRAINT "mode_machine_operation_id_mode_id_fkey" FOREIGN KEY ("operation_id", "mode_id") REFERENCES "operation_mode"("operation_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "mode_machine" ADD CONSTRAINT "mode_machine_machine_id_fkey" FOREIGN KEY ("machine_id") REFERENCES "machine"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "phase" ADD CONSTRAINT "phase_operation_id_mode_id_fkey" FOREIGN KEY ("operation_id", "mode_id") REFERENCES "operation_mode"("operation_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "phase_draw" ADD CONSTRAINT "phase_draw_operation_id_mode_id_phase_fkey" FOREIGN KEY ("operation_id", "mode_id", "phase") REFERENCES "phase"("operation_id", "mode_id", "position") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "phase_draw" ADD CONSTRAINT "phase_draw_supply_id_fkey" FOREIGN KEY ("supply_id") REFERENCES "supply"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "operation_kit" ADD CONSTRAINT "operation_kit_operation_id_fkey" FOREIGN KEY ("operation_id") REFERENCES "operation"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "operation_kit" ADD CONSTRAINT "operation_kit_kit_id_fkey" FOREIGN KEY ("kit_id") REFERENCES "kit"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "link" ADD CONSTRAINT "link_from_id_fkey" FOREIGN KEY ("from_id") REFERENCES "operation"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "link" ADD CONSTRAINT "link_to_id_fkey" FOREIGN KEY ("to_id") REFERENCES "operation"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "kit_span" ADD CONSTRAINT "kit_span_kit_id_fkey" FOREIGN KEY ("kit_id") REFERENCES "kit"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "kit_span" ADD CONSTRAINT "kit_span_from_id_fkey" FOREIGN KEY ("from_id") REFERENCES "operation"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "kit_span" ADD CONSTRAINT "kit_span_to_id_fkey" FOREIGN KEY ("to_id") REFERENCES "operation"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "run_hour_rule" ADD CONSTRAINT "run_hour_rule_machine_id_fkey" FOREIGN KEY ("machine_id") REFERENCES "machine"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "run_hour_rule_operation" ADD CONSTRAINT "run_hour_rule_operation_rule_id_fkey" FOREIGN KEY ("rule_id") REFERENCES "run_hour_rule"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "run_hour_rule_operation" ADD CONSTRAINT "run_hour_rule_operation_operation_id_fkey" FOREIGN KEY ("operation_id") REFERENCES "operation"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "draft_revision" ADD CONSTRAINT "draft_revision_previous_fkey" FOREIGN KEY ("previous") REFERENCES "draft_revision"("number") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "published_lot" ADD CONSTRAINT "published_lot_version_fkey" FOREIGN KEY ("version") REFERENCES "published_version"("version") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "published_lot" ADD CONSTRAINT "published_lot_operation_id_fkey" FOREIGN KEY ("operation_id") REFERENCES "operation"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "published_lot" ADD CONSTRAINT "published_lot_machine_id_fkey" FOREIGN KEY ("machine_id") REFERENCES "machine"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_userId_fkey" FOREIGN KEY ("userId") REFERENCES "user"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "account" ADD CONSTRAINT "account_userId_fkey" FOREIGN KEY ("userId") REFERENCES "user"("id") ON DELETE CASCADE ON UPDATE CASCADE;

