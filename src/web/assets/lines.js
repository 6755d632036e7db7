// Own levels and lines over the figure. The server draws and keeps them; here a point
// is pointed at, an end is taken hold of, and what is under way is sketched.
import { gained } from "./along.js";
import { isStill, keys } from "./sheet.js";

const frame = document.getElementById("chart");
const section = () => document.getElementById("own-lines");
if (frame && section()) begin();

// Of a bar as the server sends it.
const HIGH = 2, LOW = 3, CLOSE = 4, TIME = 6;
const NEAR = 9; // pixels within which a price of the bar draws the point to itself

function begin() {
  let main = null;
  const drawing = () => document.getElementById("drawing");
  const tick = () => Number(section().dataset.tick);
  const written = (price) => price.toFixed(Number(section().dataset.decimals));
  const onTick = (price) => Math.round(price / tick()) * tick();
  const moment = (time) => {
    const text = new Date(time * 1000).toISOString();
    return time % 86400 === 0 ? text.slice(0, 10) : text.slice(0, 19) + "Z";
  };

  // --- places -------------------------------------------------------------------
  // A place is a bar, by its number, and a price; the bar must be one that is there.
  const barOf = (place) => main.shown.bars[place.bar - main.shown.from];
  const xOf = (place) => main.middle(place.bar);

  function placeAt(x, y, snapping = true) {
    const { plot, first, from, bars } = main.shown;
    const wanted = Math.round(first + (x - plot.left) / main.step() - 0.5);
    const bar = Math.max(from, Math.min(from + bars.length - 1, wanted));
    const price = main.priceAt(y);
    if (!bars.length || !Number.isFinite(price)) return null;
    const place = { bar, price: onTick(price) };
    return snapping ? snapped(place, y) : place;
  }

  // The extremes and the close of the bar draw a point that comes near.
  function snapped(place, y) {
    const values = barOf(place);
    let least = NEAR;
    for (const price of [values[HIGH], values[LOW], values[CLOSE]]) {
      const away = Math.abs(main.yOf(price) - y);
      if (away < least) [least, place.price] = [away, price];
    }
    return place;
  }

  // By key: bars, and prices in hundredths of the height; with Shift to the next
  // high, close or low.
  function stepped(place, event) {
    const pane = main.shown.panes.find((one) => one.kind === "price");
    const { from, bars } = main.shown;
    const next = { ...place };
    const aside = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    const up = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    if (!aside && !up) return null;
    if (aside) next.bar = Math.max(from, Math.min(from + bars.length - 1, place.bar + aside * (event.shiftKey ? 10 : 1)));
    if (up && event.shiftKey) {
      const values = barOf(place);
      const beyond = [values[HIGH], values[CLOSE], values[LOW]].filter((price) => (price - place.price) * up > 0);
      if (beyond.length) next.price = up > 0 ? Math.min(...beyond) : Math.max(...beyond);
    } else if (up) {
      next.price = onTick(place.price + up * Math.max(tick(), (pane.high - pane.low) / 100));
    }
    return next;
  }

  // --- what is under way, sketched --------------------------------------------------
  const ns = "http://www.w3.org/2000/svg";
  const sketch = document.createElementNS(ns, "svg");
  sketch.setAttribute("class", "sketching");
  sketch.setAttribute("aria-hidden", "true");

  function drawSketch(places) {
    sketch.replaceChildren();
    if (!places.length) return sketch.remove();
    if (!sketch.isConnected) frame.append(sketch);
    sketch.setAttribute("width", frame.clientWidth);
    sketch.setAttribute("height", frame.clientHeight);
    const dots = places.map((place) => [xOf(place), main.yOf(place.price)]).filter(([, y]) => Number.isFinite(y));
    const path = document.createElementNS(ns, "path");
    if (dots.length === 2) path.setAttribute("d", `M${dots[0]}L${dots[1]}`);
    sketch.append(path);
    for (const [x, y] of dots) {
      const ring = document.createElementNS(ns, "circle");
      for (const [name, value] of [["cx", x], ["cy", y], ["r", 3.5]]) ring.setAttribute(name, value);
      sketch.append(ring);
    }
  }

  function readPlace(place) {
    const values = barOf(place);
    main.point(xOf(place), main.yOf(place.price), values[0], place.price);
  }

  // --- what is sent, and what comes back ----------------------------------------------
  async function replace(answer) {
    const sheet = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!answer.ok) return say(sheet.querySelector(".says")?.textContent ?? "That did not work.");
    const { search } = new URL(answer.url);
    const query = new URLSearchParams(search);
    history.replaceState(null, "", "?" + query);
    for (const part of ["#own-lines", "#orders"]) {
      const made = sheet.querySelector(part);
      const old = document.querySelector(part);
      if (!made || !old) continue;
      if (part === "#orders") old.innerHTML = made.innerHTML;
      else old.replaceWith(document.adoptNode(made));
    }
    renameEnds(query.get("undo"));
    frame.dispatchEvent(new Event("anew"));
    return true;
  }

  // A line that is changed is a new line of the book. Until the figure is drawn anew its
  // ends are those of the former one: what is done to them meanwhile is done to the new.
  function renameEnds(undo) {
    const [gone, come] = (undo ?? "").split(".").at(-1).split("-").map(Number);
    for (const end of ends)
      if (end.line.line === gone && come) end.line.line = come;
  }

  // What the address has gained since the form was made goes along, and what it has lost
  // does not come back.
  function send(form, more = {}) {
    const fields = new URLSearchParams(new FormData(form));
    for (const name of gained) fields.delete(name);
    for (const [name, value] of new URLSearchParams(location.search)) fields.set(name, value);
    for (const [name, value] of Object.entries(more)) fields.set(name, value);
    if (!fields.get("instrument")) fields.set("instrument", document.querySelector("h1").textContent);
    return fetch(form.getAttribute("action"), { method: "POST", body: fields }).then(replace);
  }

  // Said where one looks while drawing, and in the form for those who listen.
  const prompt = document.createElement("p");
  prompt.className = "prompt";
  prompt.setAttribute("aria-hidden", "true");
  const giveUp = document.createElement("button"); // the form has it for those who listen
  giveUp.type = "button";
  giveUp.className = "slight";
  giveUp.tabIndex = -1;
  giveUp.textContent = "give it up";
  giveUp.addEventListener("click", () => leave());
  for (const kind of ["pointerdown", "pointerup"]) // not a press on the figure below it
    giveUp.addEventListener(kind, (event) => event.stopPropagation());

  function say(words) {
    prompt.textContent = words + " ";
    prompt.append(giveUp);
    if (under) frame.append(prompt);
    let status = section().querySelector("[role=status]");
    if (!status) {
      status = document.createElement("p");
      status.setAttribute("role", "status");
      status.className = "small gap";
      section().querySelector("h2").after(status);
    }
    status.textContent = words;
    return false;
  }

  // --- drawing -----------------------------------------------------------------------
  let under = null; // { kind, points, places, cross }
  const byFinger = matchMedia("(pointer: coarse)").matches;

  async function start(kind) {
    const query = new URLSearchParams(location.search);
    query.set("instrument", document.querySelector("h1").textContent);
    query.set("draw", kind);
    const answer = await fetch("/charts/lines?" + query, { cache: "no-store" });
    if (!answer.ok || !main) return;
    section().outerHTML = await answer.text();
    take();
    frame.focus({ preventScroll: true });
  }

  // Goes on with the form that is there.
  function take() {
    const form = drawing();
    if (!form) return;
    const { shown } = main;
    const last = Math.min(shown.from + shown.bars.length - 1, Math.floor(shown.last) - 1);
    under = { points: form.classList.contains("two-points") ? 2 : 1, places: [],
              cross: { bar: last, price: shown.bars[last - shown.from]?.[CLOSE] }, kind: "it" };
    for (const button of section().querySelectorAll(".kinds button[name=draw]")) {
      const chosen = button.value === form.elements.kind.value;
      button.setAttribute("aria-pressed", String(chosen));
      if (chosen) under.kind = button.firstChild.textContent;
    }
    tell();
    if (!byFinger) follow(under.cross);
  }

  function tell() {
    const which = under.points === 1 ? "its point" : `point ${under.places.length + 1} of 2`;
    say(`Drawing ${under.kind}, ${which}: ` +
      (byFinger ? "tap it." : "press it, or go there with the arrow keys and press Enter. Escape gives it up."));
  }

  function leave() {
    under = null;
    prompt.remove();
    drawing()?.remove();
    for (const button of section().querySelectorAll(".kinds button")) button.removeAttribute("aria-pressed");
    drawSketch([]);
  }

  function follow(place) {
    under.cross = place;
    readPlace(place);
    drawSketch([...under.places, place].slice(0, 2));
  }

  async function set(place) {
    const form = drawing();
    const second = under.places.length === 1;
    if (second && under.places[0].bar === place.bar) return say("Its two points are of the same bar; press another.");
    under.places.push(place);
    form.elements[second ? "other-date" : "date"].value = moment(barOf(place)[TIME]);
    form.elements[second ? "other-price" : "price"].value = written(place.price);
    if (under.places.length < under.points) return tell();
    if (form.elements.kind.value === "note" && !form.elements.note.value) {
      say("Write its words, then Enter.");
      return form.elements.note.focus();
    }
    if (await send(form)) leave();
    else under.places = [];
  }

  // The figure itself does not move or ask while something is drawn.
  let pressed = null;
  const spot = (event) => {
    const box = frame.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const quiet = (event) => { event.stopImmediatePropagation(); event.preventDefault(); };
  const isEnd = (event) => event.target.closest?.(".end-of-line, .order, .prompt button");
  frame.addEventListener("pointerdown", (event) => {
    if (!under || !main || event.button !== 0 || isEnd(event)) return;
    quiet(event);
    frame.focus({ preventScroll: true });
    pressed = spot(event);
  }, true);
  frame.addEventListener("pointermove", (event) => {
    if (!under || !main || isEnd(event)) return;
    quiet(event);
    const place = placeAt(...spot(event));
    if (place) follow(place);
  }, true);
  frame.addEventListener("pointerup", (event) => {
    if (!under || !pressed || isEnd(event)) return;
    quiet(event);
    pressed = null;
    const place = placeAt(...spot(event));
    if (place) set(place);
  }, true);
  frame.addEventListener("keydown", (event) => {
    if (!under || isEnd(event) || event.ctrlKey || event.metaKey || event.altKey) return;
    const next = stepped(under.cross, event);
    if (next) { quiet(event); follow(next); }
    if (event.key === "Enter") { quiet(event); set(under.cross); }
  }, true);
  addEventListener("keydown", (event) => {
    if (!under || event.key !== "Escape") return;
    quiet(event);
    leave();
  }, true);

  // --- ends that are moved --------------------------------------------------------------
  let ends = [];
  let held = null;

  function makeEnd(line, point) {
    const end = document.createElement("div");
    end.className = "end-of-line";
    end.tabIndex = 0;
    end.setAttribute("role", "button");
    end.place = { bar: Math.round(line.at[2 * point]), price: line.at[2 * point + 1] };
    end.line = line;
    end.point = point;
    end.addEventListener("pointerdown", (event) => takeEnd(event, end));
    end.addEventListener("keydown", (event) => pressEnd(event, end));
    end.addEventListener("blur", () => { if (held === end) putBack(end); });
    return end;
  }

  function stand(end, place) {
    end.place = place;
    end.style.left = xOf(place) + "px";
    end.style.top = main.yOf(place.price) + "px";
    const values = barOf(place);
    end.setAttribute("aria-label", `${end.line.kind} ${end.line.line}, ${end.point ? "second" : "first"} point: ` +
      `${written(place.price)}${values ? " on " + values[0] : ""}`);
  }

  function placeEnds() {
    const focused = document.activeElement?.classList.contains("end-of-line")
      ? [document.activeElement.line.line, document.activeElement.point] : null;
    for (const end of ends) end.remove();
    ends = [];
    if (!document.querySelector("#own-lines .kinds")) return; // nothing can be changed
    const { plot } = main.shown;
    for (const line of main.shown.lines ?? [])
      for (let point = 0; point < line.points; point++) {
        const end = makeEnd(line, point);
        const x = main.middle(line.at[2 * point]);
        if (x < plot.left || x > plot.right || !Number.isFinite(main.yOf(end.place.price))) continue;
        ends.push(end);
        frame.append(end);
        stand(end, end.place);
        end.style.left = x + "px";
        if (focused && focused[0] === line.line && focused[1] === point) end.focus({ preventScroll: true });
      }
  }

  const other = (end) => (end.line.points === 2
    ? [{ bar: end.line.at[2 - 2 * end.point], price: end.line.at[3 - 2 * end.point] }] : []);

  function moveTo(end, place) {
    if (held !== end) end.was = end.place;
    held = end;
    stand(end, place);
    end.classList.add("moving-now");
    readPlace(place);
    drawSketch([...other(end), place]);
    fillRow(end);
  }

  // Its fields say the same number all the while.
  function fillRow(end) {
    const form = document.getElementById("line-" + end.line.line);
    if (!form) return null;
    const values = barOf(end.place);
    form.elements[end.point ? "other-price" : "price"].value = written(end.place.price);
    if (values) form.elements[end.point ? "other-date" : "date"].value = moment(values[TIME]);
    return form;
  }

  function putBack(end) {
    held = null;
    end.classList.remove("moving-now");
    drawSketch([]);
    stand(end, end.was);
    fillRow(end);
  }

  // One after the other: the second move is of the line that the first one made.
  let kept = Promise.resolve();
  function keepEnd(end) {
    held = null;
    end.classList.remove("moving-now");
    kept = kept.then(async () => {
      const form = fillRow(end);
      if (form && !(await send(form, { act: "move" }))) stand(end, end.was);
      drawSketch([]);
    });
  }

  function takeEnd(event, end) {
    if (event.button !== 0 || under) return;
    quiet(event);
    end.focus({ preventScroll: true });
    end.setPointerCapture(event.pointerId);
    const move = (moved) => {
      moved.stopPropagation();
      if (held !== end && isStill(event, moved)) return;
      const place = placeAt(...spot(moved));
      if (place) moveTo(end, place);
    };
    end.addEventListener("pointermove", move);
    end.addEventListener("lostpointercapture", () => {
      end.removeEventListener("pointermove", move);
      if (held === end) keepEnd(end);
    }, { once: true });
  }

  function pressEnd(event, end) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const next = stepped(end.place, event);
    if (next) { quiet(event); moveTo(end, next); }
    if (event.key === "Enter" && held === end) { quiet(event); keepEnd(end); }
    if (event.key === "Escape" && held === end) { quiet(event); putBack(end); }
  }

  // --- the list -------------------------------------------------------------------------
  document.addEventListener("submit", async (event) => {
    const form = event.target.closest("#own-lines form");
    if (!form) return;
    event.preventDefault();
    const button = event.submitter;
    if (button?.name === "draw") return start(button.value);
    const was = form.id === "drawing";
    const done = await send(form, button?.name ? { [button.name]: button.value } : {});
    if (done && was) leave();
  });
  document.addEventListener("click", (event) => {
    if (!event.target.closest("#own-lines a[data-leave]")) return;
    event.preventDefault();
    leave();
    frame.focus({ preventScroll: true });
  });
  document.addEventListener("change", (event) => {
    const form = event.target.form;
    if (!form?.id.startsWith("line-")) return;
    send(form, { act: event.target.name === "reach" ? "reach" : "move" });
  });
  const draw = (kind) => () => { if (section().querySelector(".kinds")) start(kind); };
  keys({ l: draw("level"), t: draw("trend"), r: draw("retracement"), c: draw("channel"), o: draw("note"), m: draw("ruler"),
         u: () => section().querySelector("form.undo")?.requestSubmit() });

  frame.addEventListener("placed", (event) => {
    main = event.detail;
    if (under) drawSketch(under.places);
    else if (drawing()) take();
    if (!held) placeEnds();
  });
}
