// A setup being changed: what is filled in shows its counts at once, the file
// follows the rows and the rows the file. Without this module the two forms do
// the same, a sheet at a time.
const numbers = document.querySelector("#numbers");
const file = document.querySelector("#file");
let last = 0;
let waiting;

function addressOf(form) {
  return form.getAttribute("action") + "?" + new URLSearchParams(new FormData(form));
}

// Puts the counted cells in, and leaves the fields that are being typed in.
function takeRows(fresh) {
  const rows = document.querySelectorAll("#rows tbody tr");
  const counted = fresh.querySelectorAll("#rows tbody tr");
  if (rows.length !== counted.length) return document.querySelector("#rows")?.replaceWith(fresh.querySelector("#rows"));
  rows.forEach((row, i) => {
    const cells = row.querySelectorAll("td:not(.say)");
    counted[i].querySelectorAll("td:not(.say)").forEach((cell, k) => cells[k].replaceWith(cell));
  });
  for (const field of fresh.querySelectorAll("#numbers input[name^='n.']")) {
    const own = document.getElementById(field.id);
    if (!own) continue;
    own.className = field.className;
    if (own !== document.activeElement) own.value = field.value;
  }
}

// The sheet or part at an address; an error with the sentence that says why there is none.
async function ask(address) {
  let answer;
  try {
    answer = await fetch(address);
  } catch {
    throw new Error("The page does not answer: it was stopped, or the connection broke off.");
  }
  const text = await answer.text();
  if (answer.ok) return text;
  const says = new DOMParser().parseFromString(text, "text/html").querySelector(".says, body > p")?.textContent;
  throw new Error(says ?? `The page refuses this, with status ${answer.status}: it may be too long.`);
}

async function showCases(address) {
  const place = document.querySelector("#cases");
  const number = last;
  try {
    const part = await ask(address + (address.includes("?") ? "&" : "?") + "part=1");
    if (number === last) place.innerHTML = part;
  } catch (fault) {
    if (number === last) say(place, fault.message);
  }
}

function say(place, sentence) {
  const bold = document.createElement("b");
  bold.className = "fault";
  bold.textContent = sentence;
  place.replaceChildren(bold);
}

// What is written is read by nobody yet: it stands here alone, and what would be kept is
// not what is seen.
function isOut(fault) {
  say(document.querySelector("#faults"), fault.message + " What you wrote stands in this window alone.");
  document.querySelector("#keep form")?.remove();
}

async function show(form) {
  const number = ++last;
  const address = addressOf(form);
  let sheet;
  try {
    sheet = await ask(address);
  } catch (fault) {
    if (number === last) isOut(fault);
    return;
  }
  if (number !== last) return;
  const fresh = new DOMParser().parseFromString(sheet, "text/html");
  const wrong = fresh.querySelector("textarea.wrong") !== null;
  if (form === file && !wrong) document.querySelector("#rows")?.replaceWith(fresh.querySelector("#rows"));
  else if (!wrong) takeRows(fresh);
  const text = document.querySelector("#text");
  text.className = fresh.querySelector("#text").className;
  if (form === numbers && !wrong) text.value = fresh.querySelector("#text").value;
  for (const id of ["keep", "since", "faults", "said"]) document.getElementById(id).replaceWith(fresh.getElementById(id));
  if (form === file && !wrong) carryText(text.value);
  history.replaceState(null, "", address);
  document.documentElement.dataset.shown = String(number);
  const cases = fresh.querySelector("#cases-address");
  if (cases && !wrong) showCases(cases.getAttribute("href"));
}

// The rows stand on the file as it was last read.
function carryText(value) {
  if (!numbers) return;
  let own = numbers.querySelector("input[name=text]");
  if (!own) {
    own = document.createElement("input");
    own.type = "hidden";
    own.name = "text";
    numbers.prepend(own);
  }
  own.value = value;
}

for (const form of [numbers, file]) {
  form?.addEventListener("input", () => {
    clearTimeout(waiting);
    // Until it is read, the button would keep what stood here before.
    document.querySelector("#keep button")?.setAttribute("disabled", "");
    waiting = setTimeout(() => show(form), form === file ? 250 : 20);
  });
  form?.addEventListener("submit", (event) => {
    event.preventDefault();
    show(form);
  });
}

document.querySelector("#cases")?.addEventListener("click", (event) => {
  const link = event.target.closest("a.in-place, #cases-address");
  if (!link) return;
  event.preventDefault();
  showCases(link.getAttribute("href"));
});

const cases = document.querySelector("#cases-address");
if (cases) showCases(cases.getAttribute("href"));
