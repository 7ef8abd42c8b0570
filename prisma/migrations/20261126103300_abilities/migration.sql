-- Machines kept before they could state abilities get an empty list, so that what stands in `body` is a whole machine again.
UPDATE "machine" SET "body" = "body" || '{"abilities": []}'::jsonb WHERE NOT ("body" ? 'abilities');
