// The sheet of setups as a person uses it: a limit changed, the file edited, a
// version kept and kept again, a setup begun from a sentence, cases stepped
// through; and all of it without the module, as plain forms.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";

export const setupSheets = {
  setups: "/setups",
  setup: "/setups?setup=low-inverted-hammer&list=reedlands&as-of=2024-11-01",
};

export function setupSteps({ page, origin, until, program, book, faults }) {
  const cell = (row, name) => page.locator(`#rows tr:has([id='${row}']) td[data-l='${name}']`).innerText();
  const digits = async (row, name) => Number((await cell(row, name)).replace(/\D/g, ""));
  const level = "n.confirm.1.level";

  // Counts, file, differences and small figures follow a number.
  async function changeLimit() {
    await page.goto(origin + setupSheets.setup);
    await until(async () => (await page.locator("#cases svg.rl-figure, #cases li svg").count()) > 0);
    const before = await digits(level, "together");
    // What the sieve leaves stands at the top; at a past date nothing is said of keeping.
    const keep = (await page.locator("#keep").innerText()).replace(/[\s\u202f]+/g, " ");
    assert.match(keep, new RegExp(`^a setup of the program's \\d+ candidates, ${before} signals every case study$`));
    assert.equal(await digits("n.place.2.bars", "together"), Number(keep.match(/(\d+) candidates/)[1]));
    const shares = await page.locator("#rows td.kp small").allInnerTexts();
    assert.deepEqual(shares.slice(0, 3), ["19 % stay", "20 % stay", "all stay: it leaves none out"]);
    // The file is whole to see, at every width below the rows or beside them.
    assert.ok(await page.locator("#text").evaluate((text) => text.scrollWidth <= text.clientWidth));
    const alone = await digits(level, "alone");
    assert.ok(before > 50 && alone > before);
    await page.fill(`[id='${level}']`, "35");
    await until(async () => (await digits(level, "together")) !== before);
    assert.ok((await digits(level, "together")) > before);
    assert.ok((await digits(level, "alone")) > alone);
    assert.match(await page.inputValue("#text"), /level: 35/);
    assert.match(await page.locator("#since").innerText(), /level\s+30\s+35/);
    const found = await digits(level, "together");
    await until(async () => (await page.locator("#cases h2").innerText()).replace(/\D/g, "") === String(found));
    assert.match(page.url(), /n\.confirm\.1\.level=35/);
    // What is not allowed is said, and the counts stay.
    await page.fill(`[id='${level}']`, "101");
    await until(async () => /found '101'/.test(await page.locator("#faults").innerText()));
    assert.equal(await digits(level, "together"), found);
    // The address says it all.
    await page.fill(`[id='${level}']`, "35");
    await until(async () => /No faults/.test(await page.locator("#faults").innerText()));
    await page.reload();
    assert.equal(await page.inputValue(`[id='${level}']`), "35");
    assert.equal(await digits(level, "together"), found);
  }

  // Bars that meet a row, counted by hand: the lowest low of ten bars before, from
  // the bars as the program writes them out; and signals, as the scan finds them.
  async function countedByHand() {
    const run = (...words) => execFileSync(program, [...words, "--book", book, "--quiet"],
                                           { encoding: "utf8", maxBuffer: 1 << 28 }).trim().split("\n");
    let low = 0;
    let bars = 0;
    for (const line of run("watchlists", "show", "reedlands", "--format", "csv").slice(1)) {
      const rows = run("bars", line.split(",").pop(), "--format", "csv");
      const column = rows[0].split(",").indexOf("low");
      const lows = rows.slice(1).map((row) => Number(row.split(",")[column]));
      bars += lows.length;
      lows.forEach((value, t) => {
        if (t >= 10 && lows.slice(t - 10, t).every((before) => value <= before)) low++;
      });
    }
    const signals = run("scan", "--watchlist", "reedlands", "--setup", "low-inverted-hammer", "--all", "--format", "csv").length - 1;
    await page.goto(origin + "/setups?setup=low-inverted-hammer&list=reedlands");
    assert.equal(await digits("n.place.2.bars", "alone"), low);
    assert.equal(await digits(level, "together"), signals);
    const caption = (await page.locator("#rows caption").innerText()).replace(/[\s\u202f]/g, "");
    assert.ok(caption.includes(`readon${bars}barsof40instrumentsofthelistreedlands`));
  }

  // What followed is asked for by a button; the ledger notes it.
  async function lookAtOutcomes() {
    const tries = () => Number(execFileSync(program, ["query", "SELECT count(*) FROM trial", "--book", book, "--format", "csv"],
                                            { encoding: "utf8" }).trim().split("\n").pop());
    await page.goto(origin + setupSheets.setup);
    await until(async () => (await page.locator("#cases li svg").count()) > 0);
    assert.ok(!/[+\u2212-]\d\.\d R/.test(await page.locator("#cases").innerText()));
    const before = tries();
    await page.click("text=Show what followed");
    await page.waitForSelector("figure.path svg");
    assert.match(await page.locator("main").innerText(), /This look is trial \d+ of the ledger/);
    assert.match(await page.locator("main").innerText(), /\+2\.\d R/);
    assert.equal(tries(), before + 1);
  }

  // The file is the rule too; its faults are named by their line.
  async function editFile() {
    await page.goto(origin + setupSheets.setup);
    const text = await page.inputValue("#text");
    await page.fill("#text", text.replace("- lowest_low: {bars: 10}", "- lowest_low: {bars: 20}"));
    await until(async () => (await page.inputValue("[id='n.place.2.bars']")) === "20");
    const line = text.split("\n").findIndex((one) => one.includes("lowest_low")) + 1;
    await page.fill("#text", text.replace("lowest_low", "lowest_lov"));
    await until(async () => (await page.locator("#faults").innerText()).includes(`:${line}:`));
    assert.match(await page.locator("#faults").innerText(), /did you mean/);
  }

  // A draft that no address holds, and a page that does not answer: both are said beside
  // what was written, and nothing that is not seen can be kept; then it goes on.
  async function draftTooLong() {
    await page.goto(origin + setupSheets.setup.replace(/&as-of=.*/, ""));
    const before = faults.length;
    const text = await page.inputValue("#text");
    const changed = text.replace("level: 30", "level: 31");
    await page.fill("#text", changed);
    await until(async () => (await page.locator("#keep button:enabled").count()) === 1);
    const said = () => page.locator("#faults").innerText();
    const draft = changed + "# " + "so long ".repeat(13000);
    await page.fill("#text", draft);
    await until(async () => /an address, which has at most 98304 bytes/.test(await said()));
    assert.equal(await page.locator("#keep button").count(), 0);
    assert.equal(await page.inputValue("#text"), draft);
    await page.fill("#text", changed);
    await until(async () => (await page.locator("#keep button:enabled").count()) === 1);
    assert.match(await said(), /No faults/);
    await page.context().setOffline(true);
    await page.fill("#text", changed.replace("level: 31", "level: 32"));
    await until(async () => /The page does not answer/.test(await said()));
    assert.equal(await page.locator("#keep button").count(), 0);
    await page.context().setOffline(false);
    await page.fill("#text", changed);
    await until(async () => (await page.locator("#keep button:enabled").count()) === 1);
    for (const fault of faults.splice(before)) assert.match(fault, /^414 |status of 414|ERR_INTERNET_DISCONNECTED/);
  }

  // The rows speak to a person; the names of the file stand small beneath them.
  async function plainWords() {
    await page.goto(origin + "/setups?setup=low-inverted-hammer&list=reedlands");
    const rows = await page.locator("#rows").innerText();
    assert.match(rows, /RSI is below the level: length of the RSI\s+bars, RSI beyond this/);
    assert.match(rows, /how far the line falls \(rises\) over these bars, least\s+ATR/);
    assert.match(rows, /rsi_below in the file; allowed: 1 to 2000 bars/);
    assert.doesNotMatch(rows, /fall atr|rsi below\b(?! the)|within/);
  }

  // A shipped one becomes one's own; each keeping is a version, none is lost.
  async function keepVersions() {
    // At a past date nothing is kept.
    await page.goto(origin + setupSheets.setup.replace(/&as-of=.*/, ""));
    await page.fill(`[id='${level}']`, "35");
    await until(async () => (await page.locator("#keep button").count()) > 0);
    await page.fill("#keep input[name=as]", "browser-low");
    await page.click("#keep button");
    await page.waitForURL(/setup=browser-low/);
    assert.match(await page.locator("#keep").innerText(), /version 1 of/);
    await page.fill(`[id='${level}']`, "40");
    await until(async () => /Keep version 2/.test(await page.locator("#keep").innerText()));
    await page.click("#keep button");
    await page.waitForURL(/setup=browser-low/);
    await until(async () => /version 2 of/.test(await page.locator("#keep").innerText()));
    await page.click("text=version 1");
    await until(async () => (await page.inputValue(`[id='${level}']`)) === "35");
    await page.goto(origin + "/setups");
    assert.match(await page.locator("tr", { hasText: "browser-low" }).innerText(), /yours, version 2/);
    assert.match(await page.locator("tr", { hasText: "browser-low" }).innerText(), /rsi_below\.level 40 for 30, else as low-inverted-hammer/);
    // Other sheets know it too.
    await page.goto(origin + "/charts?instrument=cut-rush&setup=browser-low");
    assert.match(await page.locator(".says").innerText(), /browser-low/);
  }

  // A text that says another name: never a version of that one, but the first of a new one.
  async function keepNames() {
    const kept = () => execFileSync(program, ["setup", "kept", "--book", book, "--format", "csv"], { encoding: "utf8" });
    const before = faults.length;
    const all = kept();
    const keep = async (setup, change, as) => {
      await page.goto(origin + "/setups?setup=" + setup);
      await page.fill("#text", change(await page.inputValue("#text")));
      await until(async () => (await page.locator("#keep button:enabled").count()) === 1);
      if (as) await page.fill("#keep input[name=as]", as);
      await page.click("#keep button");
    };
    const renamed = (name) => (text) => text.replace("setup: browser-low", "setup: " + name).replace("level: 40", "level: 41");
    const moved = (text) => text.replace("level: 30", "level: 29");
    await keep("browser-low", renamed("high-engulfing"));
    await page.waitForSelector("text=nothing was kept: there is a setup high-engulfing already");
    await keep("low-inverted-hammer", moved, "browser-low");
    await page.waitForSelector("text=nothing was kept: there is a setup browser-low already");
    assert.equal(kept(), all);
    for (const fault of faults.splice(before)) assert.match(fault, /^422 |status of 422/);
    await keep("browser-low", renamed("browser-other"));
    await page.waitForURL(/setup=browser-other/);
    assert.match(await page.locator("#keep").innerText(), /version 1 of/);
    // Under the shipped name it stands before the shipped one, which is said.
    await page.goto(origin + "/setups?setup=high-engulfing");
    await page.fill("#text", (await page.inputValue("#text")).replace(/title: .*/, "title: kept under the shipped name"));
    await until(async () => /stands before the shipped setup/.test(await page.locator("#keep").innerText()));
    await page.fill("#keep input[name=as]", "high-engulfing");
    await page.click("#keep button");
    await page.waitForSelector("text=version 1 of");
    assert.match(execFileSync(program, ["setup", "kept", "high-engulfing", "--book", book, "--format", "csv"], { encoding: "utf8" }), /high-engulfing,1,/);
  }

  async function beginSetup() {
    await page.goto(origin + "/setups");
    await page.fill("input[name=name]", "browser-new");
    await page.selectOption("select[name=side]", "short");
    await page.selectOption("select[name=shape]", "hammer");
    await page.selectOption("select[name=place]", "highest_high");
    await page.click("text=Write it out and count its cases");
    await page.waitForURL(/text=/);
    assert.match(await page.inputValue("#text"), /shape: shooting-star/);
    assert.match(await page.locator("h1").innerText(), /browser-new/);
    assert.match(await page.locator("#keep").innerText(), /Keep version 1/);
  }

  // As forms alone, where no module runs.
  async function withoutModule(browser, context) {
    const plain = await browser.newContext({ javaScriptEnabled: false, storageState: await context.storageState() });
    const sheet = await plain.newPage();
    await sheet.goto(origin + setupSheets.setup);
    await sheet.fill(`[id='${level}']`, "35");
    await sheet.click("text=Count anew");
    assert.match(await sheet.inputValue("#text"), /level: 35/);
    assert.match(await sheet.locator("#since").innerText(), /30\s+35/);
    await sheet.click("#cases-address");
    assert.match(await sheet.locator("figcaption").innerText(), /none left out/);
    assert.ok((await sheet.locator("ul.contact li").count()) === 30);
    await plain.close();
  }

  return { draftTooLong, plainWords, changeLimit, countedByHand, lookAtOutcomes, editFile, keepVersions, keepNames, beginSetup, withoutModule };
}
