// Own levels and lines: drawn by mouse, by keyboard alone and by number; found again
// after a restart, on longer bars and in a setup; not there at a past date. Prices
// expected are those of the demo market's bars as the server itself sends them.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const HIGH = 2, LOW = 3, CLOSE = 4, TIME = 6;

export function lineSteps({ page, context, origin, until, program, book }) {
  const sheet = "/charts?instrument=mothwing-textiles";
  const live = () => page.waitForSelector(".frame.live .moving svg");
  const rows = () => page.locator("#own-lines .own tbody tr");
  const field = (row, name) => rows().nth(row).locator(`input[name=${name}]`).inputValue();
  const inBook = () => execFileSync(program, ["levels", "mothwing-textiles", "--format", "csv", "--withdrawn", "--book", book],
                                    { encoding: "utf8" }).trim().split("\n").slice(1).map((line) => line.split(","));
  const changes = (count) => until(async () => (new URL(page.url()).searchParams.get("undo") ?? "").split(".").filter(Boolean).length === count);
  const today = () => new Date().toISOString().slice(0, 10);

  // The frame as the server sends it, to know where bars and prices are.
  let shown = null;
  async function open(path = sheet) {
    await page.goto("about:blank"); // no frame of the sheet before is still on its way
    const answer = page.waitForResponse((response) => response.url().includes("/charts/figure?"));
    await page.goto(origin + path);
    shown = await (await answer).json();
    await live();
    await page.waitForTimeout(100);
  }
  const bar = (back) => shown.bars.at(-1 - back);
  async function spot(back, price) {
    const box = await page.locator("#chart").boundingBox();
    const { left, right, first, last, panes } = shown.facts;
    const number = shown.from + shown.bars.length - 1 - back;
    const pane = panes[0];
    return [box.x + left + (number + 0.5 - first) * (right - left) / (last - first),
            box.y + pane.bottom - (price - pane.low) / (pane.high - pane.low) * (pane.bottom - pane.top)];
  }
  const day = (values) => new Date(values[TIME] * 1000).toISOString().slice(0, 10);

  // Key, two clicks, done; a click beside an extreme is drawn to it.
  async function drawByMouse() {
    await open();
    await page.keyboard.press("t");
    await page.waitForSelector("#drawing");
    const [a, b] = [bar(60), bar(20)];
    for (const [back, values] of [[60, a], [20, b]]) {
      const [x, y] = await spot(back, values[LOW]);
      await page.mouse.move(x + 1, y + 4);
      await page.mouse.down();
      await page.mouse.up();
    }
    await until(async () => (await rows().count()) === 1);
    assert.equal(await page.locator("#drawing").count(), 0, "it is done");
    assert.equal(Number(await field(0, "price")), a[LOW]);
    assert.equal(await field(0, "date"), day(a));
    assert.equal(Number(await field(0, "other-price")), b[LOW]);
    assert.equal(await field(0, "other-date"), day(b));
    assert.match(await rows().nth(0).innerText(), /touch/);
    const [line] = inBook();
    assert.equal(line[2], "trend");
    assert.equal(line[3], day(a));
    assert.equal(line[9].slice(0, 10), today(), "the instant of its making");
    assert.ok(line[10].slice(0, 10) >= day(bar(0)), "it counts behind the newest bar: " + line[10]);
    assert.equal(line[11], "0", "and is not dated back");
    await until(async () => (await page.locator("#chart .moving").innerHTML()).includes("own trend line"));
  }

  // By keyboard alone: the key, arrows, Enter; then by number.
  async function drawByKey() {
    await open();
    await page.keyboard.press("l");
    await page.waitForSelector("#drawing");
    await page.keyboard.press("Shift+ArrowLeft");
    await page.keyboard.press("ArrowLeft");
    // Wherever the newest close lies, one of the two leads to a price of that bar.
    await page.keyboard.press("Shift+ArrowUp");
    await page.keyboard.press("Shift+ArrowDown");
    await page.keyboard.press("Enter");
    await until(async () => (await rows().count()) === 2);
    const values = bar(11);
    assert.equal(await field(1, "date"), day(values));
    assert.ok([HIGH, LOW, CLOSE].some((part) => values[part] === Number(inBook()[1][4])), "a price of that bar");
    await page.keyboard.press("r");
    await page.waitForSelector("#drawing");
    await page.keyboard.press("Escape");
    await page.waitForSelector("#drawing", { state: "detached" });
    assert.equal(await rows().count(), 2, "Escape leaves it");
  }

  // An end by its ring, by mouse and by key; the same by its field; undone step by step.
  // The figure is slow to come, and the person does not wait for it.
  async function moveAndUndo() {
    await open();
    const figure = "**/charts/figure?*";
    await page.route(figure, async (route) => {
      await new Promise((done) => setTimeout(done, 500));
      await route.continue().catch(() => {}); // given up in favour of a newer one
    });
    const before = await field(0, "other-price");
    const end = () => page.locator('.end-of-line[aria-label*="second point"]');
    const box = await end().boundingBox();
    // Pressed at its edge by a hand that is not quite still, it stays where it is.
    await page.mouse.move(box.x + 3, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + 2, box.y + box.height / 2 + 1);
    await page.mouse.up();
    await page.waitForTimeout(200);
    assert.equal(new URL(page.url()).searchParams.get("undo"), null, "a press moves nothing");
    const to = bar(15);
    const [x, y] = await spot(15, to[LOW]);
    await page.mouse.move(box.x + 10, box.y + 10);
    await page.mouse.down();
    await page.mouse.move(x - 5, y + 20, { steps: 4 });
    await page.mouse.move(x, y + 3, { steps: 3 });
    await page.mouse.up();
    await changes(1);
    assert.equal(await field(1, "other-date"), day(to));
    assert.equal(Number(await field(1, "other-price")), to[LOW]);
    assert.equal(inBook().filter((line) => line[2] === "trend" && line[12] !== "").length, 1, "the former one is withdrawn, not gone");
    await end().focus();
    await page.keyboard.press("Shift+ArrowUp");
    await page.keyboard.press("Enter");
    await changes(2);
    await page.unroute(figure);
    assert.ok(Number(await field(1, "other-price")) > to[LOW]);
    await page.locator("#own-lines input[name=price]").nth(1).fill("7.5");
    await page.keyboard.press("Tab");
    await changes(3);
    assert.equal(await field(1, "price"), "7.50");
    for (let left = 2; left >= 0; left--) {
      await page.locator("#chart").focus();
      await page.keyboard.press("u");
      await changes(left);
    }
    assert.equal(await field(1, "other-price"), before);
    assert.equal(new URL(page.url()).searchParams.get("undo"), null);
    await page.reload();
    await live();
    assert.equal(await field(1, "other-price"), before, "undone in the book");
  }

  // Hidden, it is not drawn; it goes on as far as is wished.
  async function hideAndReach() {
    await open();
    await page.locator("#own-lines button[value=hide]").last().click();
    await page.waitForSelector("#own-lines button[value=show]");
    await until(async () => !(await page.locator("#chart .moving").innerHTML()).includes("own trend line"));
    await page.locator("#own-lines button[value=show]").click();
    await page.waitForSelector("#own-lines button[value=show]", { state: "detached" });
    await page.locator("#own-lines select[name=reach]").last().selectOption("both");
    await until(async () => {
      await page.goto(origin + sheet);
      return (await page.locator("#own-lines select[name=reach]").last().inputValue()) === "both";
    });
    await open(sheet + "&interval=1w");
    await until(async () => (await page.locator("#chart .moving").innerHTML()).includes("own trend line"));
  }

  // Without a module: the same by a plain form; and what cannot stand is refused in words.
  async function drawByForm() {
    const plain = await context.request.get(origin + sheet + "&draw=channel");
    assert.match(await plain.text(), /Draw the channel/);
    const token = (await plain.text()).match(/name="token" content="([0-9a-f]+)"/)[1];
    const send = (fields, more = {}) =>
      context.request.post(origin + "/charts/line", { form: { token, instrument: "mothwing-textiles", ...fields },
                                                      headers: { Origin: origin }, maxRedirects: 0, ...more });
    const count = inBook().length;
    const channel = { act: "draw", kind: "channel", date: day(bar(50)), price: String(bar(50)[LOW]),
                      "other-date": day(bar(10)), "other-price": String(bar(10)[LOW]) };
    assert.equal((await send(channel)).status(), 303);
    const drawn = inBook().at(-1);
    assert.equal(drawn[2], "channel");
    // It takes in every bar between its points, on one side.
    assert.ok(Math.abs(Number(drawn[7])) > 0);
    const wrong = [[{ ...channel, date: "2091-01-01" }, /later than/], [{ ...channel, price: "none" }, /a price is needed/],
                   [{ ...channel, "other-date": channel.date }, /same bar/], [{ ...channel, kind: "circle" }, /is allowed/],
                   [{ act: "move", line: "999" }, /not there any more/], [{ act: "paint" }, /no such change/],
                   [{ ...channel, "as-of": "2012-03-13" }, /a past date is shown/]];
    for (const [fields, words] of wrong) {
      const answer = await send(fields);
      assert.ok(answer.status() >= 400, JSON.stringify(fields));
      assert.match(await answer.text(), words);
    }
    assert.equal((await send({ ...channel, token: "0" })).status(), 403);
    assert.equal((await context.request.get(origin + "/charts/line?act=draw")).status(), 405, "no change by GET");
    assert.equal(inBook().length, count + 1, "nothing but the channel was kept");
    assert.equal((await send({ act: "remove", line: drawn[1] })).status(), 303);
    // Words are words, on the sheet and in the figure.
    const words = '"><script>alert(1)</script>';
    assert.equal((await send({ act: "draw", kind: "note", date: day(bar(5)), price: String(bar(5)[LOW]), note: words })).status(), 303);
    const { first, last } = shown.facts;
    for (const path of [sheet, sheet.replace("/charts", "/charts/figure") + `&interval=1w&first=${first}&last=${last}`, sheet.replace("/charts", "/charts/lines")]) {
      const text = await (await context.request.get(origin + path)).text();
      assert.ok(text.includes("alert(1)") && !/<script>alert/.test(text), path);
    }
    assert.equal((await send({ act: "remove", line: inBook().at(-1)[1] })).status(), 303);
  }

  // Found again by another server on the same book, and by a setup whose candles come later.
  async function foundAgain() {
    const other = spawn(program, ["serve", "--port", "0", "--book", book, "--read-only"]);
    const address = await new Promise((resolve) => {
      let text = "";
      other.stdout.on("data", (data) => {
        text += data;
        const found = text.match(/http:\S+/);
        if (found) resolve(found[0]);
      });
    });
    await page.goto(address);
    await page.goto(new URL(address).origin + sheet);
    await live();
    await until(async () => (await page.locator("#chart .moving").innerHTML()).includes("own trend line"));
    assert.match(await page.locator("#own-lines").innerText(), /reading only: nothing can be drawn/);
    assert.equal(await page.locator("#own-lines button").count(), 0);
    other.kill("SIGTERM");
  }

  // A setup that asks for own levels takes it from the first bar after the newest one that
  // the book had when it was drawn; not on that bar, though its price was met there too.
  async function inASetup() {
    const folder = mkdtempSync(join(tmpdir(), "rushlight-lines-"));
    const run = (...words) => execFileSync(program, [...words, "--book", book], { encoding: "utf8" });
    const bars = (from, to) => {
      const lines = ["time,open,high,low,close"];
      for (let date = from; date <= to; date++) lines.push(`2021-03-${String(date).padStart(2, "0")},20,22,19,21`);
      writeFileSync(join(folder, "lines-reed.csv"), lines.join("\n") + "\n");
      run("import", join(folder, "lines-reed.csv"), "--tick", "0.25", "--quiet");
    };
    bars(1, 20); // the ATR of 14 bars is known before the first bar that counts
    await open("/charts?instrument=lines-reed");
    await page.keyboard.press("l");
    await page.waitForSelector("#drawing");
    await page.keyboard.press("Enter"); // at the newest close
    await changes(1);
    assert.equal(await field(0, "price"), "21.00");
    bars(21, 23);
    writeFileSync(join(folder, "own-level.yaml"), ["setup: own-level", "side: long", "candle: {shape: any}",
      "place: [at_own_level: {width_atr: 0}]", "entry: {on: next_open}", "stop: {at: atr, times: 2}",
      "exit: {time_stop: 5}"].join("\n"));
    run("setup", "keep", join(folder, "own-level.yaml"));
    rmSync(folder, { recursive: true });
    const cases = "/charts?instrument=lines-reed&setup=own-level";
    await open(cases + "&case=2021-03-21");
    assert.match(await page.locator(".says").innerText(), /Case 1 of the 3 of own-level/);
    assert.match(await page.locator("#bar").innerText(), /It meets own-level/);
    assert.match(await page.locator("#own-lines").innerText(), /so it stood at this case/);
    await open(cases + "&bar=2021-03-20");
    assert.match(await page.locator("#bar").innerText(), /does not meet own-level|cannot be told/);
  }

  // Who goes back to a date before it was drawn does not see it, and can draw nothing.
  async function notYetThere() {
    await page.goto(origin + sheet + "&as-of=2024-06-28");
    await live();
    await page.waitForTimeout(300);
    assert.ok(!(await page.locator("#chart").innerHTML()).includes("own trend line"));
    assert.match(await page.locator("#own-lines").innerText(), /A past date is shown.*nothing can be drawn/);
    assert.equal(await rows().count(), 0);
    await page.keyboard.press("t");
    await page.waitForTimeout(200);
    assert.equal(await page.locator("#drawing").count(), 0);
  }

  // Orders of a case that follow a line: it is moved, and they are; R follows too.
  async function ordersFollow() {
    await open("/charts?instrument=lines-reed&setup=own-level&case=2021-03-23");
    await page.waitForSelector("#orders select[name=stop-on]");
    const stop = () => page.inputValue("#orders input[name=stop]");
    const own = await stop();
    const way = async (name) => (await page.locator("#orders .ways tr", { has: page.getByText(name) }).locator("td").allInnerTexts()).at(2);
    const risk = await way("at a close beyond");
    await page.locator("#own-lines input[name=price]").fill("18.25");
    await page.keyboard.press("Tab");
    await changes(1);
    const [option] = (await page.locator("#orders select[name=stop-on] option").evaluateAll((all) => all.map((one) => one.value))).filter(Boolean);
    await page.selectOption("#orders select[name=stop-on]", option);
    await until(async () => (await stop()) === "18.25");
    assert.equal(new URL(page.url()).searchParams.get("stop-on"), option);
    assert.match(await page.locator("#orders").innerText(), /The stop follows the own level 18\.25/);
    assert.notEqual(await way("at a close beyond"), risk, "each way in has the R of this stop");
    // Moved by its field, the line has another number, and the stop goes with it.
    await page.locator("#own-lines input[name=price]").fill("17.5");
    await page.keyboard.press("Tab");
    await changes(2);
    await until(async () => (await stop()) === "17.50");
    assert.notEqual(new URL(page.url()).searchParams.get("stop-on"), option);
    await page.reload();
    await live();
    assert.equal(await stop(), "17.50");
    // A number typed takes it off the line; all as the setup has it, too.
    await page.fill("#orders input[name=stop]", "16");
    await page.keyboard.press("Tab");
    await until(async () => new URL(page.url()).searchParams.get("stop-on") === null);
    await until(async () => (await stop()) === "16.00");
    // And it stays off it: what the address has lost does not come back with the next line moved.
    await page.locator("#own-lines input[name=price]").fill("17.25");
    await page.keyboard.press("Tab");
    await changes(3);
    assert.equal(new URL(page.url()).searchParams.get("stop-on"), null);
    assert.equal(await stop(), "16.00");
    await page.click("#orders a[data-way='']");
    await until(async () => (await stop()) === own);
    // Of a line that is gone it is said.
    await page.goto(origin + "/charts?instrument=lines-reed&setup=own-level&case=2021-03-23&entry-on=" + option);
    assert.match(await page.locator("#orders").innerText(), /not there any more/);
  }

  return [drawByMouse, drawByKey, moveAndUndo, hideAndReach, drawByForm, foundAgain, notYetThere, inASetup, ordersFollow];
}
