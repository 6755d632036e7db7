// What every sheet does: the few keys that go about, and the date as of.
const bound = {};

// Keys of a module, by their name; they act where nothing is being typed.
export function keys(more) {
  Object.assign(bound, more);
}

// An address with the as-of date of this one.
export function withAsOf(path) {
  const date = new URLSearchParams(location.search).get("as-of");
  return date ? path + (path.includes("?") ? "&" : "?") + "as-of=" + encodeURIComponent(date) : path;
}

keys({
  "?": () => location.assign(withAsOf("/keys")),
  "/": () => document.querySelector("input[name=instrument]:not([type=hidden]), input[name=name]:not([type=hidden])")?.select(),
});

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
  if (event.target.closest("input, select, textarea")) return;
  const does = bound[event.key];
  if (!does) return;
  event.preventDefault();
  does();
});

// A choice of a form that only looks takes effect at once; a sentence waits for its end.
for (const select of document.querySelectorAll("form[method=get]:not(.sentence) select"))
  select.addEventListener("change", () => select.form.requestSubmit());
