-- Requests for rig time: kept apart from the order book, so that what nobody has agreed to is no order; what was said stays with it.
CREATE TABLE "rig_request" (
    "number" SERIAL NOT NULL,
    "requester_id" TEXT NOT NULL,
    "requester" TEXT NOT NULL,
    "title" TEXT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "state" TEXT NOT NULL DEFAULT 'asked',
    "campaign" JSONB,
    "body" JSONB NOT NULL,
    "order_name" TEXT NOT NULL,
    "earliest" INTEGER NOT NULL,
    "wanted_by" INTEGER,
    "offer" JSONB,
    "hold_id" UUID,
    "messages" JSONB NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "changed_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "rig_request_pkey" PRIMARY KEY ("number"),
    CONSTRAINT "rig_request_state" CHECK ("state" IN ('asked', 'countered', 'accepted', 'declined', 'withdrawn'))
);

CREATE INDEX "rig_request_state_idx" ON "rig_request"("state");
