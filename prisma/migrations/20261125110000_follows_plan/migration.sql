-- A site may take work as begun and ended as published, so that people report only what went differently.
ALTER TABLE "site" ADD COLUMN     "follows_plan" BOOLEAN NOT NULL DEFAULT false;
