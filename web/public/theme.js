// Sets the chosen theme before the first paint; a file of its own because the page's policy allows no script inside it.
try {
  const theme = localStorage.getItem("theme");
  if (theme === "light" || theme === "dark") document.documentElement.dataset.theme = theme;
} catch {
  // Storage is closed to this page: the system's theme it is.
}
