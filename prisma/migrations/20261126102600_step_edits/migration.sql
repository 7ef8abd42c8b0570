-- A draft revision may change the shop together with the plan (a rush order taken in, a machine that stopped); undo and redo
-- put both back, so the revision carries what it changed.
ALTER TABLE "draft_revision" ADD COLUMN     "edits" JSONB;
