-- A slot promised to somebody is kept for a while and then frees itself; who kept it, until when and how it ended stays readable
-- after the order has left the book. The exclusion lets an order be held once at a time: two holds would free it twice.
CREATE TABLE "hold" (
    "id" UUID NOT NULL,
    "order_id" TEXT,
    "order_name" TEXT NOT NULL,
    "until_minute" INTEGER NOT NULL,
    "purpose" TEXT NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'held',
    "note" TEXT NOT NULL DEFAULT '',
    "held_by" TEXT NOT NULL,
    "made_order" BOOLEAN NOT NULL,
    "pins_before" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "ended_at" TIMESTAMPTZ(3),
    "ended_by" TEXT,

    CONSTRAINT "hold_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "hold_state" CHECK ("state" IN ('held', 'confirmed', 'expired', 'released')),
    CONSTRAINT "hold_purpose" CHECK ("purpose" IN ('promise', 'request')),
    CONSTRAINT "hold_until" CHECK ("until_minute" >= 0),
    CONSTRAINT "hold_once_per_order" EXCLUDE USING btree ("order_id" WITH =) WHERE ("state" = 'held')
);

CREATE INDEX "hold_state_until_minute_idx" ON "hold"("state", "until_minute");

ALTER TABLE "hold" ADD CONSTRAINT "hold_order_id_fkey" FOREIGN KEY ("order_id") REFERENCES "customer_order"("id") ON DELETE SET NULL ON UPDATE CASCADE;
