// Today: a row's case opens below it, and closes again; without this module the
// same link leads to its chart.
import "./finding.js";

async function open(link, row) {
  const below = document.createElement("tr");
  const cell = below.insertCell();
  below.className = "opened";
  cell.colSpan = row.cells.length;
  const answer = await fetch(link.dataset.part);
  if (answer.ok) cell.innerHTML = await answer.text();
  else cell.textContent = "It cannot be opened here: " + link.dataset.part;
  row.after(below);
}

for (const link of document.querySelectorAll("a[data-part]")) {
  link.setAttribute("aria-expanded", "false");
  link.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const row = link.closest("tr");
    const opened = link.getAttribute("aria-expanded") === "true";
    link.setAttribute("aria-expanded", String(!opened));
    if (!opened) open(link, row);
    else if (row.nextElementSibling?.className === "opened") row.nextElementSibling.remove();
  });
}
