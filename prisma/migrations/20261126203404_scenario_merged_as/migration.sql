-- Which draft revision merging made of a scenario, so that undoing that revision opens it again and redoing closes it.
ALTER TABLE "scenario" ADD COLUMN     "merged_as" INTEGER;
