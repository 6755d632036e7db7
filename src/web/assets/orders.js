// Entry, stop and target over the figure. The server works them out; here they are
// only taken hold of and moved, and what was moved is kept in the address alone.
import { isStill } from "./sheet.js";

const frame = document.getElementById("chart");
const section = document.getElementById("orders");
const names = ["target", "entry", "stop"];
if (frame && section) begin();

function begin() {
  let main = null;
  const lines = Object.fromEntries(names.map((name) => [name, make(name)]));
  const facts = () => document.getElementById("order-facts").dataset;
  const priceOf = (name) => (facts()[name] === undefined ? NaN : Number(facts()[name]));
  const written = (price) => price.toFixed(Number(facts().decimals));

  function make(name) {
    const line = document.createElement("div");
    line.className = "order";
    line.tabIndex = 0;
    line.setAttribute("role", "slider");
    line.setAttribute("aria-orientation", "vertical");
    line.setAttribute("aria-label", name);
    line.append(document.createElement("output"));
    line.addEventListener("pointerdown", (event) => take(event, name));
    line.addEventListener("keydown", (event) => press(event, name));
    return line;
  }

  // Each stands at the right edge, where its ring is.
  function place() {
    for (const name of names) {
      const line = lines[name];
      const y = main.yOf(priceOf(name));
      line.hidden = !Number.isFinite(y);
      if (line.hidden) continue;
      if (!line.isConnected) frame.append(line);
      const { left, right } = main.shown.plot;
      line.style.left = right - 12 + "px";
      line.style.right = "0px";
      line.style.setProperty("--run", right - left - 12 + "px");
      stand(name, priceOf(name), y);
    }
  }

  function stand(name, price, y) {
    const line = lines[name];
    const pane = main.shown.panes.find((one) => one.kind === "price");
    line.style.top = y + "px";
    line.setAttribute("aria-valuemin", written(pane.low));
    line.setAttribute("aria-valuemax", written(pane.high));
    line.setAttribute("aria-valuenow", written(price));
    line.setAttribute("aria-valuetext", `${name} ${written(price)}`);
    line.firstChild.textContent = `${name} ${written(price)}`;
  }

  // The address, in which only that is named which stands elsewhere than the setup has it.
  function withLines(fields) {
    const query = new URLSearchParams(location.search);
    query.set("instrument", document.querySelector("h1").textContent);
    for (const [name, value] of Object.entries(fields)) {
      if (value) query.set(name, value);
      else query.delete(name);
      // An order is either put somewhere or follows a line.
      if (name.endsWith("-on")) query.delete(name.slice(0, -3));
      else query.delete(name + "-on");
    }
    return query;
  }

  let waiting = false;
  let wanted = null;
  let worked = true;
  async function workOut(query) {
    wanted = query;
    if (waiting) return;
    waiting = true;
    while (wanted) {
      const asked = wanted;
      wanted = null;
      const answer = await fetch("/charts/orders?" + asked, { cache: "no-store" });
      const words = await answer.text();
      if (answer.ok) fill(words);
      worked = answer.ok;
    }
    waiting = false;
  }

  // The numbers anew; a field that is being typed in keeps the focus.
  function fill(words) {
    const focused = section.contains(document.activeElement) ? document.activeElement.name : null;
    section.innerHTML = words;
    if (focused) section.querySelector(`[name=${focused}]`)?.focus();
    if (main && !held) place();
  }

  async function settle(fields) {
    const query = withLines(fields);
    history.replaceState(null, "", "?" + query);
    await workOut(query);
    const field = section.querySelector(`input[name=${Object.keys(fields)[0]}]`);
    field?.classList.toggle("wrong", !worked);
    frame.dispatchEvent(new Event("anew"));
  }

  const onTick = (price) => Math.round(price / Number(facts().tick)) * Number(facts().tick);

  // --- by hand
  let held = null;
  function take(event, name) {
    if (event.button !== 0) return;
    event.stopPropagation();
    const line = lines[name];
    line.setPointerCapture(event.pointerId);
    line.classList.add("moving-now");
    held = { name, price: priceOf(name), moved: false };
    const from = main.yOf(held.price);
    const move = (moved) => {
      moved.stopPropagation();
      held.moved ||= !isStill(event, moved);
      const price = main.priceAt(from + moved.clientY - event.clientY);
      if (!held.moved || !Number.isFinite(price)) return;
      held.price = onTick(price);
      stand(name, held.price, main.yOf(held.price));
      workOut(withLines({ [name]: written(held.price) }));
    };
    const end = (ended) => {
      ended.stopPropagation();
      line.removeEventListener("pointermove", move);
      line.classList.remove("moving-now");
      const { price, moved } = held;
      held = null;
      if (moved) settle({ [name]: written(price) });
    };
    line.addEventListener("pointermove", move);
    line.addEventListener("lostpointercapture", end, { once: true });
    line.focus({ preventScroll: true });
    event.preventDefault();
  }

  // --- by key
  function press(event, name) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const ticks = { ArrowUp: event.shiftKey ? 10 : 1, ArrowDown: event.shiftKey ? -10 : -1,
                    PageUp: 10, PageDown: -10 }[event.key];
    const back = event.key === "Delete" || event.key === "Backspace";
    if (!ticks && !back) return;
    event.preventDefault();
    event.stopPropagation();
    if (back) return settle({ [name]: null });
    const price = onTick(Number(lines[name].getAttribute("aria-valuenow")) + ticks * Number(facts().tick));
    stand(name, price, main.yOf(price));
    settle({ [name]: written(price) });
  }

  // --- by number, and another way in
  section.addEventListener("change", (event) => {
    if (event.target.matches("select.follows")) settle({ [event.target.name]: event.target.value });
    if (names.includes(event.target.name)) settle({ [event.target.name]: event.target.value.trim() });
  });
  section.addEventListener("submit", (event) => event.preventDefault());
  section.addEventListener("click", (event) => {
    const way = event.target.closest("a[data-way]");
    if (!way || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    // Another way in keeps the stop and target that one has put somewhere.
    settle(way.dataset.way ? { way: way.dataset.way, entry: null } : { way: null, entry: null, stop: null, target: null });
  });

  frame.addEventListener("placed", (event) => {
    main = event.detail;
    if (!held) place();
  });
}
