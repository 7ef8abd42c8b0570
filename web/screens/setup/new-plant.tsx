/** Something new for the plant. Its id is made of its name when it is first saved, so nobody has to think one up. */
import { useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate, useParams } from "@tanstack/react-router";
import { useState } from "react";
import type { z } from "zod";
import { PLANT, PLANT_KINDS, type PlantEntity, type PlantKind } from "../../../src/contract/api/shop.ts";
import { PLANNERS, plantQuery, useMay, useSavePlant } from "../../client/shop.ts";
import { EditFrame } from "../../forms/edit-frame.tsx";
import { useEditing } from "../../forms/use-editing.ts";
import { Page } from "../../parts/page.tsx";
import { NoRights } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { takeDraftPlant } from "./draft-plant.ts";
import { FRESH, idOfName, type Neighbours } from "./plant-defaults.ts";
import { PlantForm } from "./plant-forms.tsx";
import { UnknownKind } from "./unknown-kind.tsx";

const w = words.setup;
/** Stands in the form until the name is known. */
const UNNAMED = "new";

export function NewPlant() {
  const { kind } = useParams({ from: "/add/$kind" });
  const known = PLANT_KINDS.find((name) => name === kind);
  return known ? <NewSheet key={kind} kind={known} /> : <UnknownKind />;
}

function NewSheet<K extends PlantKind>({ kind }: { readonly kind: K }) {
  const existing = useSuspenseQuery(plantQuery(kind)).data;
  const calendars = useSuspenseQuery(plantQuery("calendars")).data;
  const machines = useSuspenseQuery(plantQuery("machines")).data;
  const mayEdit = useMay(PLANNERS);
  const navigate = useNavigate();
  const save = useSavePlant(kind);
  const text = w.kinds[kind];
  const fresh: (id: string, neighbours: Neighbours) => PlantEntity<K> = FRESH[kind];
  const [answer] = useState(() => {
    const copy = takeDraftPlant(kind);
    return { value: copy ? copied(copy) : fresh(UNNAMED, { calendars, machines, first: existing.length === 0 }), revision: null };
  });
  const taken = new Set(existing.map(({ id }) => id));
  const finalId = (entity: PlantEntity<K>): string => (entity.id === UNNAMED ? idOfName(nameOf(entity), taken, kind) : entity.id);
  const editing = useEditing<PlantEntity<K>>({
    schema: PLANT[kind] as unknown as z.ZodType<PlantEntity<K>>,
    answer,
    readOnly: !mayEdit,
    what: (entity) => nameOf(entity) || text.one,
    id: finalId,
    send: (change) => save.mutateAsync({ ...change, value: { ...change.value, id: change.id } }),
    readAgain: () => Promise.resolve(answer),
    saved: (entity) => void navigate({ to: "/setup/$kind/$id", params: { kind, id: finalId(entity) } }),
  });
  return (
    <Page
      title={w.newTitle(text.one)}
      about={text.about}
      back={
        <Link to="/setup/$kind" params={{ kind }}>
          {words.shell.back(text.title)}
        </Link>
      }
    >
      {mayEdit ? (
        <EditFrame editing={editing} readOnly={false} isNew what={text.one}>
          <PlantForm kind={kind} lens={editing.form.root} />
        </EditFrame>
      ) : (
        <NoRights roles={PLANNERS} />
      )}
    </Page>
  );
}

const nameOf = (entity: { readonly id: string; readonly name?: string | undefined }): string => entity.name ?? "";

function copied<T extends { id: string; name?: string | undefined }>(entity: T): T {
  return { ...entity, id: UNNAMED, name: words.forms.copyOf(entity.name ?? entity.id) };
}
