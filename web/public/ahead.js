// Asks for what the page will need while its own code is still on the way: the session, and for the board its events, its plan and
// its code. A file of its own because the page's policy allows no script inside it. What comes of it is used by client/ahead.ts.
{
  const ask = (path) => fetch(`/api/v1${path}`, { headers: { Accept: "application/json, application/problem+json" } });
  const session = ask("/session");
  const ahead = { answers: { "/session": session }, events: null };
  window.ahead = ahead;
  session.catch(() => {});
  if (location.pathname === "/") {
    for (const href of (document.currentScript?.dataset.board ?? "").split(" ").filter(Boolean)) {
      const link = document.createElement("link");
      link.crossOrigin = "";
      link.href = href;
      link.rel = href.endsWith(".js") ? "modulepreload" : "preload";
      if (!href.endsWith(".js")) link.as = href.endsWith(".css") ? "style" : "font";
      document.head.append(link);
    }
    // Beside the session, which says whether there is anything to show: whoever is not signed in is refused here, and nothing is lost.
    // Listening begins before the plan is read, so that no change falls between the two.
    const source = new EventSource("/api/v1/events");
    const missed = [];
    source.onmessage = (message) => missed.push(message);
    ahead.events = { source, missed };
    const plan = ask("/plan/columns");
    ahead.answers["/plan/columns"] = plan;
    plan.catch(() => {});
  }
}
