// The chart that moves: frames come from the server, one request at a time, and
// what is on the screen is moved at once while the exact frame is on its way.
// Beside it, where it is wished, the same in longer bars, read by the same cross.
import { along, carry } from "./along.js";
import "./lines.js";
import "./orders.js";
import { keys } from "./sheet.js";

const frame = document.getElementById("chart");
if (frame) begin();
carry();
walk();
// Every choice takes effect at once here; its button is for where no module runs.
document.documentElement.classList.add("alive");

// One frame of the server's in its element, and the cross over it.
function surface(element) {
  const part = (name) => {
    const made = document.createElement("div");
    made.className = name;
    return made;
  };
  const moving = part("moving");
  const window_ = part("window");
  const still = part("still");
  const cross = part("cross");
  const day = part("at-date");
  const here = part("at-price");
  window_.append(moving);
  cross.append(day, here);
  const self = { element, moving, shown: null };

  self.place = (answer, ask) => {
    const { left, right, panes } = answer.facts;
    const plot = { left, right, top: panes[0].top, bottom: panes.at(-1).bottom };
    const { first, last } = answer.facts;
    self.shown = { ...answer.facts, plot, bars: answer.bars, from: answer.from, lines: answer.lines,
                   first: ask.first ?? first, last: ask.last ?? last };
    if (!window_.isConnected) {
      element.replaceChildren(window_, still, cross);
      element.classList.add("live");
    }
    element.style.height = ask.height + "px";
    const frames = element.parentElement;
    frames.classList.toggle("across", frames.clientWidth > element.clientWidth + 1);
    element.style.setProperty("--print-zoom", Math.min(1, PRINTED / frames.clientWidth));
    window_.style.left = plot.left + "px";
    window_.style.width = plot.right - plot.left + "px";
    moving.innerHTML = answer.moving;
    still.innerHTML = answer.still;
  };
  self.step = () => (self.shown.plot.right - self.shown.plot.left) / (self.shown.last - self.shown.first);
  self.priceAt = (y) => {
    const pane = self.shown.panes.find((one) => one.kind === "price");
    if (!pane || y < pane.top || y > pane.bottom) return NaN;
    const part = (pane.bottom - y) / (pane.bottom - pane.top);
    return pane.logarithmic ? pane.low * Math.pow(pane.high / pane.low, part) : pane.low + (pane.high - pane.low) * part;
  };
  self.yOf = (price) => {
    const pane = self.shown.panes.find((one) => one.kind === "price");
    if (!pane || !Number.isFinite(price)) return NaN;
    const part = pane.logarithmic ? Math.log(price / pane.low) / Math.log(pane.high / pane.low)
                                  : (price - pane.low) / (pane.high - pane.low);
    return part >= 0 && part <= 1 ? pane.bottom - part * (pane.bottom - pane.top) : NaN;
  };
  // The bar that began last at that time, by its number.
  self.numberAt = (time) => {
    const at = self.shown ? self.shown.bars.findLastIndex((bar) => bar[TIME] <= time) : -1;
    return at < 0 ? NaN : self.shown.from + at;
  };
  self.middle = (number) => self.shown.plot.left + (number + 0.5 - self.shown.first) * self.step();
  // Puts the cross on a place; NaN leaves out that line.
  self.point = (x, y, date, price) => {
    const plot = self.shown.plot;
    const inX = x >= plot.left && x <= plot.right;
    cross.className = "cross shown" + (inX ? "" : " no-x") + (Number.isFinite(y) ? "" : " no-y");
    for (const [name, value] of Object.entries({ x, y, top: plot.top, bottom: plot.bottom, left: plot.left, right: plot.right }))
      cross.style.setProperty("--" + name, (Number.isFinite(value) ? value : 0) + "px");
    day.textContent = inX ? date : "";
    here.textContent = Number.isFinite(price) ? figure(price) : "";
  };
  self.leave = () => { cross.className = "cross"; };
  return self;
}

const PRINTED = 680; // pixels across a printed page, 180 mm
const TIME = 6; // of a bar as the server sends it: date, prices, ATR, time
const figure = (price) => (Math.abs(price) >= 1000 ? price.toFixed(1) : price.toPrecision(5));
const signed = (number, digits) => (number < 0 ? "\u2212" : "+") + Math.abs(number).toFixed(digits);

function begin() {
  const margin = document.getElementById("bar");
  const readout = document.querySelector(".readout");
  const count = Number(frame.dataset.count);
  const view = { first: Number(frame.dataset.first), last: Number(frame.dataset.last) };
  if (frame.clientWidth < 560 && !new URLSearchParams(location.search).get("span"))
    view.first = view.last - 60; // a candle wants five pixels
  let bar = Number(frame.dataset.bar);
  let waiting = false;
  let wanted = false;

  const main = surface(frame);
  const besideFrame = document.getElementById("beside");
  const beside = besideFrame && surface(besideFrame);

  function address(path, more) {
    const query = new URLSearchParams(location.search);
    query.set("instrument", document.querySelector("h1").textContent);
    for (const [name, value] of Object.entries(more)) query.set(name, value);
    return path + "?" + query;
  }

  const isWhole = () => document.documentElement.classList.contains("whole");
  function size() {
    const width = Math.round(frame.clientWidth);
    const height = isWhole() ? innerHeight - 48 : Math.max(360, Math.min(680, width * 0.7));
    return { width, height: Math.round(height) };
  }

  let drawn = null; // the size last asked for
  async function fetchFrame() {
    wanted = true;
    if (waiting) return;
    waiting = true;
    while (wanted) {
      wanted = false;
      drawn = size();
      const ask = { first: view.first, last: view.last, bar: barMoment(), ...drawn };
      if (ask.bar === null) delete ask.bar;
      const answer = await fetch(address("/charts/figure", ask), { cache: "no-store" });
      if (!answer.ok) break;
      main.place(await answer.json(), ask);
      shift();
      frame.dispatchEvent(new CustomEvent("placed", { detail: main })); // for what lies over it
      await fetchBeside();
    }
    waiting = false;
  }

  // The longer bars up to the last bar in view; asked for only where that moved.
  let besideAsked = "";
  async function fetchBeside() {
    if (!beside) return;
    const bars = main.shown.bars;
    const height = size().height;
    const edge = bars[Math.min(bars.length, Math.max(1, Math.ceil(view.last) - main.shown.from)) - 1];
    const ask = { width: Math.round(besideFrame.clientWidth), height, ...(edge ? { edge: edge[TIME] } : {}) };
    const asked = address("/charts/beside", { ...ask, bar: barMoment() ?? "" });
    if (asked === besideAsked) return;
    besideAsked = asked;
    const answer = await fetch(asked, { cache: "no-store" });
    if (answer.ok) beside.place(await answer.json(), { height });
    if (answer.ok) settleBeside();
  }

  // Its frame stands still: what is drawn beyond its sides is not needed.
  function settleBeside() {
    beside.moving.style.transform = `translateX(${-beside.shown.over}px)`;
  }

  // The bar asked about keeps its place in the address by its time.
  function barMoment() {
    return new URLSearchParams(location.search).get("bar");
  }

  // What is there is moved by whole pixels until the exact frame comes.
  function shift() {
    const shown = main.shown;
    const step = main.step;
    const pixels = (shown.first - view.first) * step();
    const stretch = (shown.last - shown.first) / (view.last - view.first);
    main.moving.style.transform = Math.abs(stretch - 1) < 1e-9
      ? `translateX(${Math.round(pixels - shown.over)}px)`
      : `translateX(${(shown.first - view.first) * step() * stretch - shown.over * stretch}px) scaleX(${stretch})`;
  }

  function show(first, last) {
    const span = Math.max(10, Math.min(last - first, Math.max(300, count * 1.2)));
    const most = count + span * 0.8;
    const least = -span * 0.8;
    if (first + span > most) first = most - span;
    if (first < least) first = least;
    view.first = first;
    view.last = first + span;
    if (main.shown) requestAnimationFrame(() => { shift(); fetchFrame(); });
    remember();
  }

  let later = 0;
  function remember() {
    clearTimeout(later);
    later = setTimeout(() => {
      const query = new URLSearchParams(location.search);
      query.set("span", Math.round(view.last - view.first));
      history.replaceState(null, "", "?" + query);
    }, 400);
  }

  const perBar = () => (main.shown.plot.right - main.shown.plot.left) / (view.last - view.first);
  const barAt = (x) => Math.round(view.first + (x - main.shown.plot.left) / perBar() - 0.5);
  const inside = (x, y, of = main) => of.shown && x >= of.shown.plot.left && x <= of.shown.plot.right &&
    y >= of.shown.plot.top && y <= of.shown.plot.bottom;

  function zoom(factor, at) {
    const keep = at === undefined ? view.last : view.first + (at - main.shown.plot.left) / main.step();
    show(keep - (keep - view.first) * factor, keep + (view.last - keep) * factor);
  }

  // --- the cross that reads ---------------------------------------------------
  function leave() {
    main.leave();
    if (beside) beside.leave();
  }

  function say(values, price) {
    let text = `${values[0]}: open ${values[1]}, high ${values[2]}, low ${values[3]}, close ${values[4]}`;
    const away = price - values[4];
    if (Number.isFinite(price)) {
      text += `; here ${figure(price)}`;
      if (values[4]) text += `, ${signed((100 * away) / Math.abs(values[4]), 1)} % from its close`;
      if (values[5]) text += `, ${signed(away / values[5], 1)} ATR`;
    }
    readout.textContent = text;
  }

  // One cross over both figures: the same price, the longer bar that holds the shorter.
  function read(x, y) {
    if (!inside(x, y)) return leave();
    const number = barAt(x);
    const values = main.shown.bars[number - main.shown.from];
    const price = main.priceAt(y);
    main.point(x, y, values ? values[0] : "", price);
    if (!values && number >= 0 && number < main.shown.from)
      readout.textContent = `Only the newest ${main.shown.bars.length} bars in view can be read by the cross; bring fewer into view.`;
    if (!values) return;
    say(values, price);
    if (!beside?.shown) return;
    const at = beside.numberAt(values[TIME]);
    const longer = beside.shown.bars[at - beside.shown.from];
    beside.point(beside.middle(at), beside.yOf(price), longer ? longer[0] : "", price);
  }

  function readBeside(x, y) {
    if (!inside(x, y, beside)) return leave();
    const number = Math.round(beside.shown.first + (x - beside.shown.plot.left) / beside.step() - 0.5);
    const values = beside.shown.bars[number - beside.shown.from];
    const price = beside.priceAt(y);
    beside.point(x, y, values ? values[0] : "", price);
    if (!values) return;
    say(values, price);
    const at = main.shown.bars.findIndex((bar) => bar[TIME] >= values[TIME]);
    const shorter = main.shown.bars[at];
    main.point(shorter ? main.middle(main.shown.from + at) : NaN, main.yOf(price), shorter ? shorter[0] : "", price);
  }

  // --- asking a bar -------------------------------------------------------------
  async function ask(number) {
    if (number < 0 || number >= count) return;
    bar = number;
    const answer = await fetch(address("/charts/bar", { number }), { cache: "no-store" });
    if (answer.ok) margin.innerHTML = await answer.text();
    const moment = margin.querySelector("[data-moment]");
    if (moment) {
      const query = new URLSearchParams(location.search);
      query.set("bar", moment.dataset.moment);
      history.replaceState(null, "", "?" + query);
      const field = document.querySelector(".choices input[name=bar]");
      if (field) field.value = moment.dataset.moment;
    }
    fetchFrame();
  }

  function step_bar(by) {
    const next = Math.max(0, Math.min(count - 1, bar + by));
    if (next < view.first || next > view.last - 1) show(view.first + (next - bar), view.last + (next - bar));
    ask(next);
  }

  // --- hands ------------------------------------------------------------------------
  const spot = (event) => {
    const box = frame.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const held = new Map();
  let dragged = 0;

  frame.addEventListener("pointerdown", (event) => {
    if (!main.shown || event.button !== 0) return;
    frame.setPointerCapture(event.pointerId);
    held.set(event.pointerId, spot(event));
    dragged = 0;
  });
  frame.addEventListener("pointermove", (event) => {
    const [x, y] = spot(event);
    if (!held.has(event.pointerId)) {
      if (main.shown) read(x, y);
      return;
    }
    const [from] = held.get(event.pointerId);
    if (held.size === 2) {
      const other = [...held].find(([id]) => id !== event.pointerId)[1];
      const before = Math.max(20, Math.abs(from - other[0]));
      zoom(before / Math.max(20, Math.abs(x - other[0])), (x + other[0]) / 2);
    } else if (x !== from) {
      dragged += Math.abs(x - from);
      const by = (from - x) / perBar();
      show(view.first + by, view.last + by);
    }
    held.set(event.pointerId, [x, y]);
  });
  const release = (event) => {
    if (!held.delete(event.pointerId) || event.type !== "pointerup") return;
    const [x, y] = spot(event);
    if (dragged < 4 && inside(x, y)) ask(barAt(x));
  };
  frame.addEventListener("pointerup", release);
  frame.addEventListener("pointercancel", release);
  frame.addEventListener("pointerleave", leave);
  besideFrame?.addEventListener("pointermove", (event) => {
    const box = besideFrame.getBoundingClientRect();
    if (beside.shown && main.shown) readBeside(event.clientX - box.left, event.clientY - box.top);
  });
  besideFrame?.addEventListener("pointerleave", leave);
  frame.addEventListener("wheel", (event) => {
    if (!main.shown) return;
    event.preventDefault();
    if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
      const by = event.deltaX / main.step();
      show(view.first + by, view.last + by);
    } else {
      zoom(Math.exp(Math.max(-120, Math.min(120, event.deltaY)) / 400), spot(event)[0]);
    }
  }, { passive: false });

  // --- keys --------------------------------------------------------------------------
  const span = () => view.last - view.first;
  frame.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const does = {
      ArrowLeft: () => step_bar(event.shiftKey ? -10 : -1),
      ArrowRight: () => step_bar(event.shiftKey ? 10 : 1),
      PageUp: () => show(view.first - span() * 0.8, view.last - span() * 0.8),
      PageDown: () => show(view.first + span() * 0.8, view.last + span() * 0.8),
      Home: () => show(0, span()),
      End: () => show(count + 3 - span(), count + 3),
      Enter: () => ask(bar),
    }[event.key];
    if (!does) return;
    event.preventDefault();
    does();
  });
  keys({
    "+": () => zoom(0.8),
    "=": () => zoom(0.8),
    "-": () => zoom(1.25),
    w: () => giveWindow(!isWhole()),
    Escape: () => giveWindow(false),
    d: () => document.querySelector(".choices input[name=bar]")?.select(),
  });

  // The whole window for the figure, and back; the cross and all keys stay.
  function giveWindow(whole) {
    document.documentElement.classList.toggle("whole", whole);
    besideAsked = "";
    frame.focus({ preventScroll: true });
    fetchFrame();
  }

  // What the figure shows is kept at once, and shown.
  const shows = document.querySelector("form.shows");
  shows?.addEventListener("change", async () => {
    const sent = await fetch(shows.action, { method: "POST", body: new URLSearchParams(new FormData(shows)) });
    if (!sent.ok) return;
    const query = new URLSearchParams(location.search);
    for (const name of ["panes", "averages", "scale"]) query.delete(name); // they are kept now
    history.replaceState(null, "", "?" + query);
    besideAsked = "";
    fetchFrame();
  });

  frame.addEventListener("anew", () => fetchFrame());
  // Told of itself, too, when it is first looked at and when it is made as high as asked.
  new ResizeObserver(() => {
    const now = size();
    if (now.width !== drawn?.width || now.height !== drawn.height) fetchFrame();
  }).observe(frame);
  fetchFrame();
}

// --- from one instrument to the next, and marks --------------------------------
function walk() {
  const follow = (choice) => () => {
    const link = document.querySelector(`:is(.walk, .by-bar) ${choice}`);
    if (link) location.assign(along(new URL(link.href)));
  };
  const go = (way) => follow(`a[rel=${way}]`);
  const on = (way) => follow(`a[data-way-on=${way}]`);
  const mark = (name) => () => document.querySelector(`.marks button[data-mark=${name}]`)?.click();
  keys({ n: on("next-case"), p: on("previous-case"), h: on("hold"), f: on("on"), b: on("back") });
  keys({ ".": go("next"), ",": go("prev"), 1: mark("watch"), 2: mark("later"), 3: mark("no") });

  // A mark is put on without a new sheet: only its own line is made anew.
  const plain = new WeakSet();
  document.addEventListener("submit", async (event) => {
    const form = event.target.closest("form.marks");
    if (!form || plain.has(form)) return;
    event.preventDefault();
    const button = event.submitter;
    const fields = new URLSearchParams(new FormData(form, button));
    const answer = await fetch(form.action, { method: "POST", body: fields }).catch(() => null);
    if (!answer?.ok) {
      plain.add(form); // as without a module, so that the sheet says what was wrong
      return form.requestSubmit(button);
    }
    const sheet = new DOMParser().parseFromString(await answer.text(), "text/html");
    const focused = document.activeElement?.dataset?.mark;
    for (const part of [".walk", ".choices select[name=list]"]) {
      const made = sheet.querySelector(part);
      if (made) document.querySelector(part)?.replaceWith(document.adoptNode(made));
    }
    if (focused) document.querySelector(`.marks button[data-mark=${focused}]`)?.focus();
  });

  // Names for what is being typed.
  const field = document.querySelector(".choices input[name=instrument]");
  if (!field) return;
  const offered = document.getElementById("names");
  let latest = 0;
  field.addEventListener("input", async () => {
    const mine = ++latest;
    const answer = await fetch("/charts/names?" + new URLSearchParams({ typed: field.value }));
    if (!answer.ok || mine !== latest) return;
    offered.replaceChildren(...(await answer.json()).map((name) => new Option(name, name)));
  });
}
