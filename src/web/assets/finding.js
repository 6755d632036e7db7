// What was found last is on the screen; once it has been found anew the sheet is made
// anew. Without this module a link does it.
const says = document.getElementById("finding");
const here = new URLSearchParams(location.search);
here.delete("again");
const address = (path) => path + (String(here) ? "?" + here : "");

async function ask() {
  if (document.hidden) return document.addEventListener("visibilitychange", ask, { once: true });
  const answer = await fetch(address("/today/found"), { cache: "no-store" }).catch(() => null);
  if (!answer?.ok) return setTimeout(ask, 5000);
  const found = await answer.json();
  if (found.state !== "finding") return location.replace(address("/today"));
  if (says.textContent !== found.says) says.textContent = found.says;
  setTimeout(ask, 500);
}

if (says?.dataset.state === "finding") {
  document.querySelector("a.again").parentElement.remove();
  ask();
}
