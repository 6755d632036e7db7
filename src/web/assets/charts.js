// The chart that moves: frames come from the server, one request at a time, and
// what is on the screen is moved at once while the exact frame is on its way.
import { keys } from "/own/sheet.js";

const frame = document.getElementById("chart");
if (frame) begin();

function begin() {
  const margin = document.getElementById("bar");
  const readout = document.querySelector(".readout");
  const count = Number(frame.dataset.count);
  const view = { first: Number(frame.dataset.first), last: Number(frame.dataset.last) };
  if (frame.clientWidth < 560 && !new URLSearchParams(location.search).get("span"))
    view.first = view.last - 60; // a candle wants five pixels
  let bar = Number(frame.dataset.bar);
  let shown = null; // the facts of the frame on the screen
  let waiting = false;
  let wanted = false;

  const moving = document.createElement("div");
  const window_ = document.createElement("div");
  const still = document.createElement("div");
  const cross = document.createElement("div");
  window_.className = "window";
  moving.className = "moving";
  still.className = "still";
  cross.className = "cross";
  window_.append(moving);

  function address(path, more) {
    const query = new URLSearchParams(location.search);
    if (!query.get("instrument")) query.set("instrument", document.querySelector("h1").textContent);
    for (const [name, value] of Object.entries(more)) query.set(name, value);
    return path + "?" + query;
  }

  function size() {
    const width = Math.round(frame.clientWidth);
    return { width, height: Math.round(Math.max(360, Math.min(680, width * 0.7))) };
  }

  async function fetchFrame() {
    wanted = true;
    if (waiting) return;
    waiting = true;
    while (wanted) {
      wanted = false;
      const ask = { first: view.first, last: view.last, bar: barMoment(), ...size() };
      if (ask.bar === null) delete ask.bar;
      const answer = await fetch(address("/charts/figure", ask), { cache: "no-store" });
      if (!answer.ok) break;
      place(await answer.json(), ask);
    }
    waiting = false;
  }

  // The bar asked about keeps its place in the address by its time.
  function barMoment() {
    return new URLSearchParams(location.search).get("bar");
  }

  function place(answer, ask) {
    const { left, right, panes } = answer.facts;
    const plot = { left, right, top: panes[0].top, bottom: panes.at(-1).bottom };
    shown = { ...answer.facts, plot, bars: answer.bars, from: answer.from, first: ask.first, last: ask.last };
    if (!window_.isConnected) {
      frame.replaceChildren(window_, still, cross);
      frame.classList.add("live");
    }
    frame.style.height = ask.height + "px";
    window_.style.left = plot.left + "px";
    window_.style.width = plot.right - plot.left + "px";
    moving.innerHTML = answer.moving;
    still.innerHTML = answer.still;
    shift();
  }

  const step = () => (shown.plot.right - shown.plot.left) / (shown.last - shown.first);

  // What is there is moved by whole pixels until the exact frame comes.
  function shift() {
    const pixels = (shown.first - view.first) * step();
    const stretch = (shown.last - shown.first) / (view.last - view.first);
    moving.style.transform = Math.abs(stretch - 1) < 1e-9
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
    if (shown) requestAnimationFrame(() => { shift(); fetchFrame(); });
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

  const barAt = (x) => Math.round(view.first + (x - shown.plot.left) / ((shown.plot.right - shown.plot.left) / (view.last - view.first)) - 0.5);
  const inside = (x, y) => shown && x >= shown.plot.left && x <= shown.plot.right && y >= shown.plot.top && y <= shown.plot.bottom;

  function zoom(factor, at) {
    const keep = at === undefined ? view.last : view.first + (at - shown.plot.left) / step();
    show(keep - (keep - view.first) * factor, keep + (view.last - keep) * factor);
  }

  // --- the cross that reads ---------------------------------------------------
  function read(x, y) {
    if (!inside(x, y)) {
      cross.className = "cross";
      return;
    }
    const number = barAt(x);
    const values = shown.bars[number - shown.from];
    cross.className = "cross shown";
    cross.style.setProperty("--x", x + "px");
    cross.style.setProperty("--y", y + "px");
    cross.style.setProperty("--top", shown.plot.top + "px");
    cross.style.setProperty("--bottom", shown.plot.bottom + "px");
    if (!values) return;
    const pane = shown.panes.find((one) => one.kind === "price");
    let text = `${values[0]}: open ${values[1]}, high ${values[2]}, low ${values[3]}, close ${values[4]}`;
    if (pane && y >= pane.top && y <= pane.bottom) {
      const part = (pane.bottom - y) / (pane.bottom - pane.top);
      const price = pane.logarithmic
        ? pane.low * Math.pow(pane.high / pane.low, part)
        : pane.low + (pane.high - pane.low) * part;
      const away = values[4] ? (100 * (price - values[4])) / Math.abs(values[4]) : NaN;
      text += `; here ${price.toPrecision(6)}` + (Number.isFinite(away) ? `, ${away.toFixed(1).replace("-", "\u2212")} % from its close` : "");
    }
    readout.textContent = text;
  }

  // --- asking a bar -------------------------------------------------------------
  async function ask(number) {
    if (number < 0 || number >= count) return;
    bar = number;
    const values = shown && shown.bars[number - shown.from];
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
    return values;
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
    if (!shown || event.button !== 0) return;
    frame.setPointerCapture(event.pointerId);
    held.set(event.pointerId, spot(event));
    dragged = 0;
  });
  frame.addEventListener("pointermove", (event) => {
    const [x, y] = spot(event);
    if (!held.has(event.pointerId)) {
      if (shown) read(x, y);
      return;
    }
    const [from] = held.get(event.pointerId);
    if (held.size === 2) {
      const other = [...held].find(([id]) => id !== event.pointerId)[1];
      const before = Math.max(20, Math.abs(from - other[0]));
      zoom(before / Math.max(20, Math.abs(x - other[0])), (x + other[0]) / 2);
    } else if (x !== from) {
      dragged += Math.abs(x - from);
      const by = (from - x) / ((shown.plot.right - shown.plot.left) / (view.last - view.first));
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
  frame.addEventListener("wheel", (event) => {
    if (!shown) return;
    event.preventDefault();
    if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
      const by = event.deltaX / step();
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
    w: () => document.querySelector(".pair").classList.toggle("whole") ?? fetchFrame(),
    n: () => go_case(1),
    p: () => go_case(-1),
  });

  // The next or previous case of the list below.
  function go_case(by) {
    const links = [...document.querySelectorAll(".dates a")];
    const here = links.findIndex((link) => link.getAttribute("aria-current"));
    let at = here + by;
    if (here < 0) {
      const moments = links.map((link) => new URL(link.href).searchParams.get("case"));
      const mine = barMoment() || "9999";
      at = by > 0 ? moments.findIndex((one) => one > mine) : moments.findLastIndex((one) => one < mine);
    }
    if (links[at]) location.assign(links[at].href);
  }

  new ResizeObserver(() => fetchFrame()).observe(frame);
  fetchFrame();
}
