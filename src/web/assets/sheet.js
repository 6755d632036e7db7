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

// Whether a pointer is where it was pressed: a hand that only presses moves it a little.
export const isStill = (pressed, now) =>
  Math.hypot(now.clientX - pressed.clientX, now.clientY - pressed.clientY) < 4;

keys({
  "?": () => location.assign(withAsOf("/keys")),
  "/": () => document.querySelector("input[name=instrument]:not([type=hidden]), input[name=name]:not([type=hidden])")?.select(),
});

// A word explains itself on its own line, in the margin where that is free and wide
// enough, else below what it stands in; once more, or Escape, closes it.
let explained = null;

function closeWord() {
  if (!explained) return;
  explained.note.remove();
  explained.word.removeAttribute("aria-expanded");
  explained.word.focus({ preventScroll: true });
  explained = null;
}

// The letters of a paragraph are in the way, not the room to the right of them.
function takenBy(one) {
  if (one.matches("svg, input, select, button")) return [one.getBoundingClientRect()];
  const range = document.createRange();
  range.selectNodeContents(one);
  return [...range.getClientRects()];
}

const isFree = (box) =>
  ![...document.querySelectorAll("main :is(p, td, th, li, h1, h2, figcaption, dt, dd, svg, input, select, button)")]
    .filter((one) => !one.closest(".explained"))
    .flatMap(takenBy)
    .some((other) => other.width > 0 && other.right > box.left && other.left < box.right && other.bottom > box.top && other.top < box.bottom);

async function explain(word) {
  const again = explained?.word === word;
  closeWord();
  if (again) return;
  const answer = await fetch(withAsOf("/words/one?term=" + encodeURIComponent(word.dataset.word))).catch(() => null);
  if (!answer?.ok) return location.assign(word.href);
  const note = document.createElement("aside");
  note.className = "explained small";
  note.setAttribute("role", "note");
  note.innerHTML = await answer.text();
  const main = document.querySelector("main");
  const block = word.closest("main > *, main .pair > * > *, main section > *") ?? word.parentElement;
  if (block.querySelector("table") || block.matches("table")) block.before(note);
  else block.after(note);
  const sheet = main.getBoundingClientRect();
  const line = word.getBoundingClientRect();
  const right = sheet.right - 48;
  note.classList.add("in-margin");
  note.style.top = line.top - sheet.top + "px";
  const box = note.getBoundingClientRect();
  if (innerWidth < 1100 || line.right > right - 354 || !isFree({ left: right - 354, right, top: box.top, bottom: box.bottom })) {
    note.classList.remove("in-margin");
    note.style.top = "";
  }
  word.setAttribute("aria-expanded", "true");
  explained = { word, note };
}

addEventListener("click", (event) => {
  const word = event.target.closest("a.word[data-word]");
  if (!word || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  explain(word);
});
addEventListener("keydown", (event) => {
  if (event.key === "Escape") closeWord();
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
