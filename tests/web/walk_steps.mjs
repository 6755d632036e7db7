// From case to case over a whole list, against what the command line finds there;
// and from bar to bar, with nothing later anywhere in what the browser holds.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";

export function walkSteps({ page, origin, until, program, book, faults }) {
  const live = () => page.waitForSelector(".frame.live .moving svg");
  const shown = () => {
    const query = new URL(page.url()).searchParams;
    return `${query.get("case")} ${query.get("instrument")}`;
  };

  async function press(key) {
    const before = page.url();
    await page.keyboard.press(key);
    await until(async () => page.url() !== before);
    await live();
  }

  // In order of time, from the first to the last, and no further.
  async function everyCase() {
    const lines = execFileSync(program, ["scan", "--setup", "low-inverted-hammer", "--book", book, "--all",
                                         "--watchlist", "reedlands", "--format", "csv", "--quiet"], { encoding: "utf8" })
      .split("\n").filter((line) => line && !line.startsWith("#"));
    const head = lines[0].split(",");
    const at = (name) => head.indexOf(name);
    const expected = lines.slice(1).map((line) => line.split(","))
      .map((row) => `${row[at("candle_time")]} ${row[at("instrument")]}`).sort();
    assert.ok(expected.length > 10 && new Set(expected.map((one) => one.split(" ")[1])).size > 5);
    const [day, name] = expected.at(-4).split(" ");
    await page.goto(origin + `/charts?list=reedlands&setup=low-inverted-hammer&instrument=${name}&case=${day}&span=90`);
    await live();
    const seen = [shown()];
    for (let i = 0; i < 3; i++) {
      await press("n");
      seen.push(shown());
    }
    assert.deepEqual(seen.map((one) => one.split(" ")[0]), expected.slice(-4).map((one) => one.split(" ")[0]));
    assert.deepEqual([...seen].sort(), expected.slice(-4));
    assert.equal(new URL(page.url()).searchParams.get("span"), "90");
    await press("n");
    assert.match(await page.locator(".says").innerText(), /There is no later case/);
    await press("p");
    assert.equal(shown(), seen[2]);
  }

  // On the way to the next case nothing is asked for twice, and nothing that is there.
  async function nothingTwice() {
    const asked = [];
    const listen = (response) => {
      const { pathname } = new URL(response.url());
      const wasSent = response.request().timing().requestStart >= 0; // not out of the browser's own store
      if (wasSent && !pathname.endsWith("candle.svg")) asked.push(pathname);
    };
    await page.goto(origin + "/charts?list=reedlands&setup=low-inverted-hammer&instrument=cut-rush&case=2024-11-01");
    await live();
    await press("p");
    await page.waitForTimeout(500);
    page.on("response", listen);
    await press("n");
    await page.waitForTimeout(500);
    page.off("response", listen);
    assert.deepEqual(asked.sort(), ["/charts", "/charts/case", "/charts/figure"]);
  }

  async function barByBar() {
    const answers = [];
    const listen = async (response) => {
      if (response.url().includes("/charts")) answers.push(await response.text().catch(() => ""));
    };
    await page.goto(origin + "/charts?instrument=cut-rush&bar=2024-10-30");
    await live();
    await press("h");
    await page.waitForTimeout(300); // what was on its way before is there
    page.on("response", listen);
    await page.reload();
    await live();
    assert.match(await page.locator(".says").innerText(), /up to 30 Oct 2024; what follows is held back/);
    assert.match(await page.locator("figcaption").innerText(), /It ends with the last bar shown: what follows is held back\.$/);
    await press("f");
    assert.match(await page.locator("#bar").innerText(), /31 Oct 2024/);
    await press("f");
    assert.match(await page.locator("#bar").innerText(), /1 Nov 2024/);
    await page.locator("#chart").focus();
    await page.keyboard.press("End");
    await page.waitForTimeout(300);
    await press("b");
    assert.match(await page.locator("#bar").innerText(), /31 Oct 2024/);
    page.off("response", listen);
    const all = answers.join("");
    assert.ok(all.includes("1 Nov 2024"));
    for (const later of ["4 Nov 2024", "5 Nov 2024", "2 Dec 2024", "2024-11-04", "2024-12-31", "31 Dec 2024"])
      assert.ok(!all.includes(later), later + " was sent before its turn");
    await press("h");
    assert.match(await page.locator(".says").innerText(), /the newest of 31 Dec 2024/);
    // A case is not gone past: what followed it is a look of its own.
    await page.goto(origin + "/charts?instrument=cut-rush&setup=low-inverted-hammer&case=2024-11-01&held=2024-10-31");
    await live();
    await press("f");
    await page.keyboard.press("f");
    await page.waitForTimeout(300);
    assert.match(await page.locator("#bar").innerText(), /This bar\s+1 Nov 2024/);
  }

  // What the address gains by key, wheel and field goes along by form, mark and link,
  // as far as it means something there.
  async function goesAlong() {
    const query = (name) => new URL(page.url()).searchParams.get(name);
    const target = async (price) => {
      await page.fill("#orders input[name=target]", price);
      await page.keyboard.press("Tab");
      await until(() => query("target") === price);
    };
    await page.goto(origin + "/charts?instrument=cut-rush&setup=low-inverted-hammer&case=2024-11-01");
    await live();
    await page.locator("#chart").focus();
    await page.keyboard.press("ArrowLeft");
    await until(() => query("bar") === "2024-10-31");
    await page.keyboard.press("+");
    await until(() => query("span") === "120");
    await target("600");
    await page.selectOption(".choices select[name=list]", "reedlands");
    await page.waitForURL(/list=reedlands/);
    await live();
    assert.deepEqual(["span", "target", "bar"].map(query), ["120", "600", "2024-10-31"]);
    await target("610");
    await page.locator("#chart").focus();
    for (const pressed of ["true", "false"]) {
      await page.keyboard.press("1");
      await page.waitForSelector(`.marks [data-mark=watch][aria-pressed=${pressed}]`);
    }
    await page.click(".choice a[href*='beside=1w']");
    await page.waitForURL(/beside=1w/);
    await live();
    assert.deepEqual(["span", "target", "bar"].map(query), ["120", "610", "2024-10-31"]);
    await page.click(".walk a[rel=next]");
    await page.waitForURL(/instrument=(?!cut-rush)/);
    await live();
    assert.deepEqual(["span", "target", "bar", "case"].map(query), ["120", null, null, null]);
    // What was changed of an instrument's lines can be undone from another case of it too.
    await page.goto(origin + "/charts?instrument=bog-oak&setup=low-inverted-hammer&case=2024-08-27");
    await live();
    await page.evaluate(() => history.replaceState(null, "", location.search + "&undo=0-1"));
    await page.locator(".dates a", { hasText: "28 Aug 2024" }).click();
    await page.waitForURL(/case=2024-08-28/);
    assert.equal(query("undo"), "0-1");
  }

  // A mark that the server refuses is sent as without a module, with the button that was
  // pressed, so that the sheet says what was wrong.
  async function refusedMark() {
    await page.goto(origin + "/charts?instrument=cut-rush");
    await live();
    const sent = [];
    const before = faults.length;
    await page.route("**/charts/mark", (route) => {
      sent.push(route.request().postData());
      if (sent.length === 1) return route.abort("connectionrefused");
      return route.fulfill({ status: 200, contentType: "text/html", body: "<title>refused</title><link rel=icon href=data:,>" });
    });
    await page.keyboard.press("2");
    await until(() => sent.length === 2);
    for (const body of sent) assert.match(body, /(^|&)mark=later(&|$)/);
    await until(async () => (await page.title().catch(() => "")) === "refused");
    await page.unroute("**/charts/mark");
    faults.length = before; // the browser's word for the one that was refused
  }

  // Of more bars than can be told apart the newest go to the cross, and the sheet says so.
  async function moreThanCanBeRead() {
    const bars = async (first, last) => {
      const answer = await page.request.get(origin + `/charts/figure?instrument=cut-rush&first=${first}&last=${last}`);
      return answer.json();
    };
    const many = await bars(100, 2999);
    const few = await bars(2980, 2999);
    assert.equal(many.bars.length, 1500);
    assert.equal(many.from, 1500);
    assert.deepEqual(many.bars.at(-1), few.bars.at(-1));
    await page.goto(origin + "/charts?instrument=cut-rush&span=3000");
    await live();
    const box = await page.locator("#chart").boundingBox();
    await page.mouse.move(box.x + 200, box.y + 150);
    await until(async () => /Only the newest 1500 bars in view/.test(await page.locator(".readout").innerText()));
    await page.mouse.move(box.x + 600, box.y + 150);
    await until(async () => /open .* close/.test(await page.locator(".readout").innerText()));
  }

  return [everyCase, nothingTwice, barByBar, goesAlong, refusedMark, moreThanCanBeRead];
}
