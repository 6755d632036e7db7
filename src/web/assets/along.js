// What the address has gained since the sheet was made goes along.
// The same fields as the server's own table keeps (web/chart_address.c), of those that
// change here without a new sheet.
const following = ["entry-on", "stop-on", "target-on"];
export const gained = ["span", "bar", "way", "entry", "stop", "target", ...following, "undo"];

// To another chart go those which mean something there.
export function along(to) {
  const here = new URLSearchParams(location.search);
  const there = to.searchParams;
  const same = (...fields) => fields.every((name) => there.get(name) === here.get(name));
  const take = (...fields) => {
    for (const name of fields)
      if (here.has(name)) there.set(name, here.get(name));
      else there.delete(name);
  };
  const name = document.querySelector("h1").textContent;
  take("span");
  if ((there.get("instrument") ?? name) !== name) return to;
  take("undo");
  if (!same("case")) return to;
  take("bar");
  if (same("setup")) take("way", ...following);
  if (same("setup", "interval")) take("entry", "stop", "target");
  return to;
}

export function carry() {
  for (const kind of ["click", "auxclick"])
    addEventListener(kind, (event) => {
      const link = event.target.closest("main a[href^='/charts']:not([data-way])");
      if (link) link.href = along(new URL(link.href));
    }, { capture: true });
  addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches(".asof, .choices, .marks, .shows")) return;
    const here = new URLSearchParams(location.search);
    for (const name of gained) {
      const field = form.elements[name];
      if (field && field.type !== "hidden") continue; // it asks for that itself
      if (field) field.remove();
      if (!here.has(name)) continue;
      const added = document.createElement("input");
      Object.assign(added, { type: "hidden", name, value: here.get(name) });
      form.append(added);
    }
  }, { capture: true });
}
