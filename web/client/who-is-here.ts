/**
 * Who is signed in in this browser, as its last page to ask has learned: one note that all windows share, so that a window left open by
 * somebody else sends nothing in the name of who sits here now. Where storage is closed to the page, every window stands for itself.
 */
const KEY = "signed-in";
/** No id of a person: nobody is signed in. */
const NOBODY = "";

/** What was learned last by this page, where storage is closed. */
let learned: string | null = null;

export function noteWhoIsHere(person: string | null): void {
  learned = person;
  try {
    if (localStorage.getItem(KEY) !== (person ?? NOBODY)) localStorage.setItem(KEY, person ?? NOBODY);
  } catch {
    forgetNote();
  }
}

export function isHere(person: string | null): boolean {
  try {
    const noted = localStorage.getItem(KEY);
    return noted === null ? learned === person : noted === (person ?? NOBODY);
  } catch {
    return learned === person;
  }
}

/** Tells that another window has found somebody else signed in. */
export function onOtherPerson(changed: () => void): () => void {
  const heard = ({ key }: StorageEvent): void => {
    if (key === KEY) changed();
  };
  window.addEventListener("storage", heard);
  return () => window.removeEventListener("storage", heard);
}

/** A note that could not be renewed would speak of somebody who has left. */
function forgetNote(): void {
  try {
    localStorage.removeItem(KEY);
  } catch {
    // There is none either.
  }
}
