// Files are dropped anywhere on the sheet: the field takes the first, and says so.
const form = document.getElementById("import");
if (form) begin();

function begin() {
  const field = form.querySelector("input[type=file]");
  const brings = (event) => event.dataTransfer?.types.includes("Files");
  addEventListener("dragover", (event) => {
    if (!brings(event)) return;
    event.preventDefault();
    form.classList.add("dropping");
  });
  addEventListener("dragleave", (event) => {
    if (!event.relatedTarget) form.classList.remove("dropping");
  });
  addEventListener("drop", (event) => {
    if (!brings(event)) return;
    event.preventDefault();
    form.classList.remove("dropping");
    field.files = event.dataTransfer.files;
    form.querySelector("button").focus();
  });
}
