/** One thing of the plant: its form, duplicate, delete. */
import { useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { Link, useNavigate, useParams } from "@tanstack/react-router";
import { useState } from "react";
import type { z } from "zod";
import { PLANT, PLANT_KINDS, type PlantEntity, type PlantKind } from "../../../src/contract/api/shop.ts";
import type { Answer } from "../../client/request.ts";
import { PLANNERS, plantOneQuery, useDeletePlant, useMay, useSavePlant } from "../../client/shop.ts";
import { EditFrame } from "../../forms/edit-frame.tsx";
import { useEditing } from "../../forms/use-editing.ts";
import { Confirm } from "../../parts/dialog.tsx";
import { Page } from "../../parts/page.tsx";
import { Failure, ReadOnlyNote } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";
import { keepDraftPlant } from "./draft-plant.ts";
import { PlantForm } from "./plant-forms.tsx";
import { UnknownKind } from "./unknown-kind.tsx";

const w = words.setup;

export function PlantPage() {
  const { kind, id } = useParams({ from: "/setup/$kind/$id" });
  const known = PLANT_KINDS.find((name) => name === kind);
  return known ? <Loaded key={`${kind}/${id}`} kind={known} id={id} /> : <UnknownKind />;
}

function Loaded<K extends PlantKind>({ kind, id }: { readonly kind: K; readonly id: string }) {
  const answer: Answer<PlantEntity<K>> = useSuspenseQuery(plantOneQuery(kind, id)).data;
  return <PlantSheet kind={kind} id={id} answer={answer} />;
}

function PlantSheet<K extends PlantKind>({
  kind,
  id,
  answer,
}: {
  readonly kind: K;
  readonly id: string;
  readonly answer: Answer<PlantEntity<K>>;
}) {
  const client = useQueryClient();
  const navigate = useNavigate();
  const mayEdit = useMay(PLANNERS);
  const save = useSavePlant(kind);
  const remove = useDeletePlant(kind);
  const [asking, setAsking] = useState(false);
  const text = w.kinds[kind];
  const entity: { readonly id: string; readonly name?: string | undefined } = answer.value;
  const name = entity.name || entity.id;
  const editing = useEditing<PlantEntity<K>>({
    schema: PLANT[kind] as unknown as z.ZodType<PlantEntity<K>>,
    answer,
    readOnly: !mayEdit,
    what: () => name,
    id: () => id,
    send: (change) => save.mutateAsync(change),
    readAgain: () => client.fetchQuery({ ...plantOneQuery(kind, id), staleTime: 0 }),
  });
  const doRemove = (): void => {
    setAsking(false);
    remove.mutate(
      { id, revision: answer.revision },
      {
        onSuccess: () => {
          toast(words.forms.deleted(name));
          void navigate({ to: "/setup/$kind", params: { kind } });
        },
      },
    );
  };
  const copy = (): void => {
    keepDraftPlant(kind, answer.value);
    void navigate({ to: "/add/$kind", params: { kind } });
  };
  return (
    <Page
      title={name}
      about={name === entity.id ? undefined : words.forms.knownAs(entity.id)}
      back={
        <Link to="/setup/$kind" params={{ kind }}>
          {words.shell.back(text.title)}
        </Link>
      }
      actions={
        mayEdit ? (
          <>
            <button type="button" className="button" onClick={copy}>
              {words.forms.duplicate}
            </button>
            <button type="button" className="button button-danger" disabled={remove.isPending} onClick={() => setAsking(true)}>
              {words.forms.deleteIt(text.one)}
            </button>
          </>
        ) : null
      }
    >
      {remove.isError ? <Failure error={remove.error} /> : null}
      {mayEdit ? null : <ReadOnlyNote roles={PLANNERS} />}
      <EditFrame editing={editing} readOnly={!mayEdit} what={text.one}>
        <PlantForm kind={kind} lens={editing.form.root} />
      </EditFrame>
      {asking ? (
        <Confirm
          title={words.forms.deleteTitle(name)}
          text={words.forms.deleteText}
          act={words.forms.deleteIt(text.one)}
          danger
          keep={words.forms.keep}
          onAct={doRemove}
          onClose={() => setAsking(false)}
        />
      ) : null}
    </Page>
  );
}
