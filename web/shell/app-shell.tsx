/** The frame around every screen: navigation, site and person, theme, help, banners. Holds no data of its own. */
import { useQuery, useQueryClient } from "@tanstack/react-query";
import { Link, Outlet, useRouter, useRouterState } from "@tanstack/react-router";
import { Suspense, useEffect, useRef, useState } from "react";
import { useFirstSteps } from "../client/first-steps.ts";
import { forgetAnswers } from "../client/kept-answers.ts";
import { useLiveUpdates } from "../client/live.ts";
import { sessionQuery } from "../client/shop.ts";
import { onOtherPerson } from "../client/who-is-here.ts";
import { Failure, Loading } from "../parts/states.tsx";
import { Toasts } from "../parts/toast.tsx";
import { instantText } from "../present/instant.ts";
import { words } from "../words/words.ts";
import { AREAS, whereIs } from "./areas.ts";
import { HelpDialog } from "./help-dialog.tsx";
import { useRequestNews } from "./request-news.ts";
import { chooseTheme, nextChoice, useThemeChoice } from "./theme.ts";
import { useOffline } from "./use-offline.ts";

/** Pages that work without anybody being signed in. */
const OPEN_PATHS = ["/sign-in", "/first-administrator"];

function Mark() {
  return (
    <svg viewBox="0 0 18 18" aria-hidden="true">
      <path d="M1 2h7v13H1z" fill="currentColor" />
      <path d="M8 9h9v6H8z" fill="currentColor" opacity="0.75" />
      <path d="M0 16.5h18" stroke="currentColor" strokeWidth="1.4" />
    </svg>
  );
}

function ThemeButton() {
  const choice = useThemeChoice();
  const next = nextChoice(choice);
  return (
    <button
      type="button"
      onClick={() => chooseTheme(next)}
      aria-label={`${words.shell.theme}: ${words.shell.themes[choice]}. ${words.shell.themeNext(words.shell.themes[next])}`}
    >
      <small>{words.shell.theme}</small>
      <b>{words.shell.themes[choice]}</b>
    </button>
  );
}

function Person() {
  const session = useQuery(sessionQuery).data;
  if (!session) return null;
  if (session.demoMode) return null;
  if (!session.user) {
    return (
      <Link className="shell-cell" to="/sign-in">
        <b>{words.shell.signIn}</b>
      </Link>
    );
  }
  return (
    <Link className="shell-cell" to="/account">
      <small>{words.shell.roles[session.user.role]}</small>
      <b>{session.user.name}</b>
    </Link>
  );
}

function Banners({ path }: { readonly path: string }) {
  const led = useFirstSteps();
  const session = useQuery(sessionQuery).data;
  const { connection, from, newer } = useOffline();
  const client = useQueryClient();
  // The board keeps changes and says so itself.
  const lost =
    from === null || !session
      ? path === "/"
        ? words.shell.lostOnBoardBanner
        : words.shell.lostBanner
      : words.shell.lostFromBanner(instantText(from.toISOString(), session.site.zone));
  return (
    <>
      {connection === "lost" ? (
        <div className="banner banner-lost" role="status">
          <span>{lost}</span>
          <button type="button" className="button button-small" onClick={() => void client.invalidateQueries()}>
            {words.shell.tryAgain}
          </button>
        </div>
      ) : null}
      {newer ? (
        <div className="banner" role="status">
          <span>{words.shell.newerBanner}</span>
          <button type="button" className="button button-small" onClick={() => location.reload()}>
            {words.shell.loadNewer}
          </button>
        </div>
      ) : null}
      {led && path !== "/start" ? (
        <div className="banner">
          <span>{words.start.ledBanner}</span>
          <Link className="button button-small" to="/start">
            {words.start.ledAct}
          </Link>
        </div>
      ) : null}
      {session?.demoMode ? (
        <div className="banner">
          <span>{words.shell.demoBanner}</span>
        </div>
      ) : null}
    </>
  );
}

/** `?` anywhere but in a field opens help; the board has keys of its own and keeps them. */
function useHelpKey(open: () => void): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.key !== "?" || event.defaultPrevented || event.ctrlKey || event.metaKey) return;
      const target = event.target as HTMLElement;
      if (target.closest("input, select, textarea, [role=grid], dialog")) return;
      event.preventDefault();
      open();
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  }, [open]);
}

/**
 * To another page: focus goes on to its sheet, so that the next Tab is there and its name is read. Left alone is who has put
 * focus into the page already, and a page that is opened by its address.
 */
function useFocusFollows(path: string): void {
  const before = useRef(path);
  useEffect(() => {
    if (before.current === path) return;
    before.current = path;
    const sheet = document.getElementById("sheet");
    if (sheet && !sheet.contains(document.activeElement) && !document.querySelector("dialog[open]"))
      sheet.focus({ preventScroll: true });
  }, [path]);
}

const openHelpEvent = "open-help";
export const openHelp = (): void => void document.dispatchEvent(new Event(openHelpEvent));

export function AppShell() {
  const path = useRouterState({ select: (state) => state.location.pathname });
  const coming = useRouterState({ select: ({ matches }) => matches.some(({ status }) => status === "pending") });
  const session = useQuery(sessionQuery);
  const [help, setHelp] = useState(false);
  const [openTheHelp] = useState(() => () => setHelp(true));
  useHelpKey(openTheHelp);
  useFocusFollows(path);
  useEffect(() => {
    document.addEventListener(openHelpEvent, openTheHelp);
    return () => document.removeEventListener(openHelpEvent, openTheHelp);
  }, [openTheHelp]);

  const client = useQueryClient();
  useEffect(() => onOtherPerson(() => void client.invalidateQueries()), [client]);
  const inside = session.data !== undefined && (session.data.user !== null || session.data.demoMode);
  useLiveUpdates(inside);
  useRequestNews();
  const open = OPEN_PATHS.includes(path);
  const router = useRouter();
  const mustSignIn = session.data !== undefined && !inside && !open;
  useEffect(() => {
    if (!mustSignIn) return;
    void forgetAnswers();
    void router.navigate({ to: "/sign-in", replace: true });
  }, [mustSignIn, router]);

  // An empty shop has nothing to show on a board: the first steps come first.
  const mustStart = inside && session.data?.empty === true && path === "/";
  useEffect(() => {
    if (mustStart) void router.navigate({ to: "/start", replace: true });
  }, [mustStart, router]);

  const { area, page } = whereIs(path);
  return (
    <>
      <a className="skip-link" href="#sheet">
        {words.shell.skip}
      </a>
      <header className="shell-head">
        <Link to="/" className="shell-mark" aria-label={words.shell.product}>
          <Mark />
        </Link>
        {inside ? (
          <nav className="shell-nav" aria-label={words.shell.navigation}>
            {AREAS.map((each) => (
              <Link key={each.label} to={each.pages[0].to} aria-current={area === each ? "page" : undefined}>
                {each.label}
              </Link>
            ))}
          </nav>
        ) : null}
        <div className="shell-tail">
          {session.data && inside ? (
            <span className="shell-cell">
              <small>{session.data.site.zone}</small>
              <b>{session.data.site.name}</b>
            </span>
          ) : null}
          <Person />
          <ThemeButton />
          <button type="button" onClick={openTheHelp} aria-label={words.shell.help} aria-keyshortcuts="?">
            <b aria-hidden="true">?</b>
          </button>
        </div>
      </header>
      {inside && area && area.pages.length > 1 ? (
        <nav className="shell-pages" aria-label={words.shell.pagesOf(area.label)}>
          {area.pages.map(({ to, label }) => (
            <Link key={to} to={to} aria-current={page?.to === to ? "page" : undefined}>
              {label}
            </Link>
          ))}
        </nav>
      ) : null}
      <Banners path={path} />
      <main className="shell-main" id="sheet" tabIndex={-1}>
        {session.isPending ? (
          <Loading />
        ) : session.isError && !session.data ? (
          <div className="page">
            <br />
            <Failure error={session.error} retry={() => void session.refetch()} />
          </div>
        ) : mustSignIn || mustStart || coming ? (
          // The code of a page is waited for here: what comes out of a suspended part is held back for 300 ms after its fallback.
          <Loading />
        ) : (
          <Suspense fallback={<Loading />}>
            <Outlet />
          </Suspense>
        )}
      </main>
      {help ? <HelpDialog onClose={() => setHelp(false)} /> : null}
      <Toasts />
    </>
  );
}
