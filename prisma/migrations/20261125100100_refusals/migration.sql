-- What the database refuses whatever the program says: two published operations on one machine at one time, negative
-- durations and amounts, words outside the vocabulary. Dangling links are refused by the foreign keys of the tables.

ALTER TABLE "published_lot"
  ADD CONSTRAINT "published_lot_no_double_use" EXCLUDE USING gist ("machine_id" WITH =, "during" WITH &&),
  ADD CONSTRAINT "published_lot_ends_after_start" CHECK ("end_at" >= "start_at"),
  ADD CONSTRAINT "published_lot_number" CHECK ("lot" >= 0);

ALTER TABLE "site"
  ADD CONSTRAINT "site_one_row" CHECK ("id" = 1),
  ADD CONSTRAINT "site_horizon" CHECK ("horizon_minutes" BETWEEN 1 AND 1314900),
  ADD CONSTRAINT "site_freeze" CHECK ("freeze_minutes" >= 0),
  ADD CONSTRAINT "site_fixed_now" CHECK ("fixed_now" >= 0);

ALTER TABLE "customer_order"
  ADD CONSTRAINT "order_kind" CHECK ("kind" IN ('production', 'prototype', 'campaign', 'maintenance')),
  ADD CONSTRAINT "order_quantity" CHECK ("quantity" > 0),
  ADD CONSTRAINT "order_scrap" CHECK ("scrap_per_mille" BETWEEN 0 AND 999),
  ADD CONSTRAINT "order_weight" CHECK ("weight" >= 0);

ALTER TABLE "operation" ADD CONSTRAINT "operation_pieces" CHECK ("pieces_per_unit" > 0);

ALTER TABLE "phase"
  ADD CONSTRAINT "phase_kind" CHECK ("kind" IN ('prepare', 'run', 'clear')),
  ADD CONSTRAINT "phase_flow" CHECK ("flow" IN ('solid', 'pausable', 'piecewise')),
  ADD CONSTRAINT "phase_minutes" CHECK ("minutes" >= 0),
  ADD CONSTRAINT "phase_seconds" CHECK ("seconds_per_piece" >= 60),
  ADD CONSTRAINT "phase_one_kind_of_work" CHECK (("minutes" IS NULL) <> ("seconds_per_piece" IS NULL)),
  ADD CONSTRAINT "phase_wait" CHECK ("max_wait" >= 0);

ALTER TABLE "phase_draw" ADD CONSTRAINT "phase_draw_amount" CHECK ("amount" >= 0);
ALTER TABLE "operation_kit" ADD CONSTRAINT "operation_kit_count" CHECK ("count" > 0);
ALTER TABLE "kit_span" ADD CONSTRAINT "kit_span_count" CHECK ("count" > 0);

ALTER TABLE "link"
  ADD CONSTRAINT "link_kind" CHECK ("kind" IN ('lag', 'sameMachine', 'transfer')),
  ADD CONSTRAINT "link_not_to_itself" CHECK ("from_id" <> "to_id"),
  ADD CONSTRAINT "link_lag" CHECK (("kind" = 'lag') = ("min_lag" IS NOT NULL)),
  ADD CONSTRAINT "link_min_lag" CHECK ("min_lag" >= 0),
  ADD CONSTRAINT "link_max_lag" CHECK ("max_lag" IS NULL OR ("kind" = 'lag' AND "max_lag" >= 0)),
  ADD CONSTRAINT "link_pieces" CHECK (("kind" = 'transfer') = ("pieces" IS NOT NULL) AND "pieces" > 0);

ALTER TABLE "run_hour_rule" ADD CONSTRAINT "run_hour_rule_limit" CHECK ("counter" >= 0 AND "limit_minutes" > 0);

ALTER TABLE "run"
  ADD CONSTRAINT "run_state" CHECK ("state" IN ('queued', 'running', 'cancelling', 'finished', 'cancelled', 'failed'));

ALTER TABLE "user"
  ADD CONSTRAINT "user_role" CHECK ("role" IN ('viewer', 'requester', 'operator', 'planner', 'administrator'));
