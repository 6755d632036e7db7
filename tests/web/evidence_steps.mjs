// The sheet Evidence in the browser: a study is run, watched, stopped, left and
// found again; what it says is what the command line says. Steps for browser.mjs.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";

export const evidenceSheets = { evidence: "/evidence", answer: "/evidence?answer=1", ledger: "/evidence/ledger" };

export function evidenceSteps({ page, origin, until, program, book, faults }) {
  const command = (...words) => execFileSync(program, [...words, "--book", book], { encoding: "utf8" });
  const flat = (words) => words.replace(/\s+/g, " ");

  async function ask(setup, list, more = {}) {
    await page.goto(origin + "/evidence");
    await page.selectOption("select[name=setup]", setup);
    await page.selectOption("select[name=list]", list);
    if (Object.keys(more).length > 0) await page.click("summary");
    for (const [name, value] of Object.entries(more)) await page.fill(`input[name=${name}]`, value);
    await page.click("text=Run it");
  }

  // Asked for, left, and found again; its answer stands first and is the same
  // as the command line's.
  async function runStudy() {
    // No setup is chosen for anybody: without one nothing is asked.
    await page.goto(origin + "/evidence");
    assert.equal(await page.locator("select[name=setup]").inputValue(), "");
    await page.click("text=Run it");
    assert.equal(new URL(page.url()).pathname, "/evidence");
    await ask("low-inverted-hammer", "reedlands");
    await page.goto(origin + "/today?as-of=2024-11-01");
    await page.goto(origin + "/evidence");
    await page.waitForSelector("text=Does low-inverted-hammer pay?");
    await page.click("text=Does low-inverted-hammer pay?");
    // A sheet has true minus signs, a terminal hyphens.
    const comes = await page.locator(".answer .comes").innerText();
    const said = flat(await page.locator(".answer").innerText()).replaceAll("\u2212", "-");
    assert.match(said, /^(Gained|Lost|May be luck|Too few)/);
    const printed = flat(command("study", "--setup", "low-inverted-hammer", "--watchlist", "reedlands"));
    const sentences = said.split(/(?<=\.) (?=[A-Z])/);
    assert.ok(sentences.length >= 3, said);
    for (const sentence of sentences) assert.ok(printed.includes(sentence), sentence);
    // And nothing before the first table of the one is left out of the other.
    assert.ok(said.includes(printed.slice(0, 200)), printed.slice(0, 200));
    assert.ok((await page.locator(".kept figure").count()) > 5);
    assert.equal(await page.locator("text=has changed since").count(), 0);
    const address = page.url();
    await page.reload();
    assert.equal(page.url(), address);
    // The row of the list has its number, and says what the answer came to.
    await page.goto(origin + "/evidence");
    const row = await page.locator("table.answers tbody tr").first().innerText();
    assert.ok(row.includes(comes), row);
    // So does the list of setups, where what was studied comes first.
    await page.goto(origin + "/setups");
    const first = await page.locator("table.list tbody tr").first().innerText();
    assert.ok(first.includes("low-inverted-hammer") && first.includes(comes), first);
    assert.match(row, /\b\d+, \d+ [A-Z][a-z]{2} \d{4}, \d\d:\d\d/);
  }

  // The sheet of a study goes on to its answer by itself.
  async function watchStudy() {
    await ask("hammer-at-support", "reedlands", { resamples: "2000" });
    await page.waitForURL(/answer=/);
    assert.match(await page.locator("h1").innerText(), /hammer-at-support/);
  }

  async function stopStudy() {
    const before = command("ledger").split("\n").length;
    await ask("any-bar-at-a-low", "", { markets: "2000", resamples: "50000" });
    // It stands in the ledger before it looks at anything; one stopped sooner need not.
    await until(async () => command("ledger").split("\n").length > before);
    await page.click("text=Stop it");
    await page.waitForSelector("text=It was stopped before it was done");
    await page.goto(origin + "/evidence");
    assert.match(await page.locator("table").first().innerText(), /any-bar-at-a-low.*stopped before it was done/);
    assert.equal(await page.locator("text=Does any-bar-at-a-low pay?").count(), 0);
    assert.ok(command("ledger").split("\n").length > before, "the ledger forgets what was stopped");
  }

  // Stale once the setup is another, and asked again in one press.
  async function staleAnswer() {
    await ask("browser-low", "reedlands");
    await page.waitForURL(/answer=/);
    const address = page.url();
    await page.goto(origin + "/setups?setup=browser-low");
    await page.fill("[id='n.confirm.1.level']", "45");
    await until(async () => /Keep version/.test(await page.locator("#keep").innerText()));
    await page.click("#keep button");
    await page.goto(address);
    assert.match(await page.locator("aside").innerText(), /The setup browser-low has changed since/);
    await page.click("text=Ask it again");
    await page.waitForURL((now) => now.search.includes("answer=") && now.href !== address);
    assert.equal(await page.locator("text=has changed since").count(), 0);
  }

  // Asked again, it is asked with all that it was asked with.
  async function askAgain() {
    const wish = { resamples: "300", markets: "2", next: "30", numbers: "exit.targets.1.r" };
    await ask("browser-low", "reedlands", wish);
    await page.waitForURL(/answer=/);
    const address = page.url();
    assert.match(await page.locator(".made").innerText(), /300 resamples of dates, 2 resampled markets; moved: exit\.targets\.1\.r/);
    await page.goto(origin + "/setups?setup=browser-low");
    await page.fill("[id='n.confirm.1.level']", "47");
    await until(async () => /Keep version/.test(await page.locator("#keep").innerText()));
    await page.click("#keep button");
    await page.goto(address);
    const form = page.locator("aside form");
    for (const [name, value] of Object.entries({ ...wish, setup: "browser-low", list: "reedlands" }))
      assert.equal(await form.locator(`input[name=${name}]`).inputValue(), value, name);
    // A study of a past date is asked again as of that date.
    await page.goto(origin + "/evidence?as-of=2020-06-30&setup=browser-low&list=reedlands");
    await page.click("text=Run it");
    await page.waitForURL(/answer=/);
    const asked = new URL(page.url()).searchParams.get("answer");
    await page.goto(`${origin}/evidence?answer=${asked}`);
    assert.equal(await page.locator("aside form input[name=as-of]").inputValue(), "2020-06-30");
  }

  // As forms alone, where no module runs.
  async function studyWithoutModule(browser, context) {
    const plain = await browser.newContext({ javaScriptEnabled: false, storageState: await context.storageState() });
    const sheet = await plain.newPage();
    await sheet.goto(origin + "/evidence?setup=low-inverted-hammer&list=reedlands");
    await sheet.click("text=Run it");
    for (let tries = 0; tries < 100 && /job=/.test(sheet.url()); tries++) {
      await sheet.waitForTimeout(100);
      await sheet.locator("a.again").click({ timeout: 2000 }).catch(() => {});
    }
    assert.match(sheet.url(), /answer=/);
    await plain.close();
  }

  // Frozen and judged on the bars since; sealed and opened; the ledger has it all.
  async function honest() {
    await page.goto(origin + "/evidence?setup=low-inverted-hammer&list=reedlands");
    await page.click("text=Freeze low-inverted-hammer");
    await page.goto(origin + "/evidence?list=reedlands");
    await page.click("text=Judge it on the bars since");
    await page.waitForURL(/answer=/);
    assert.match(await page.locator(".answer").innerText(), /there is no bar to look at/);
    await page.goto(origin + "/evidence");
    await page.fill("input[name=from]", "2023-01-01");
    await page.click("text=Seal them");
    assert.match(await page.locator("main").innerText(), /Bars from 1 Jan 2023 on are sealed/);
    assert.match(command("seal"), /2023-01-01/);
    await page.click("text=Does low-inverted-hammer pay?");
    // Looked up behind the sheet, and said there once it is known.
    await until(async () => /The bars have changed since/.test(await page.locator("aside").innerText()));
    await page.goto(origin + "/evidence");
    // Opened by the date written beside what is lost, by nothing else.
    assert.match(await page.locator("main").innerText(), /Opening it cannot be undone/);
    const before = faults.length;
    for (const [date, says] of [["", "from which date?"], ["soon", "a date such as"], ["2023-01-02", "the seal stays closed: bars are sealed from 2023-01-01"]]) {
      await page.goto(origin + "/evidence");
      await page.fill("input[name=open]", date);
      await page.click("text=Open the seal");
      await page.waitForSelector("text=" + says);
      assert.match(command("seal"), /2023-01-01/);
    }
    for (const fault of faults.splice(before)) assert.match(fault, /^422 |status of 422/);
    await page.goto(origin + "/evidence");
    await page.fill("input[name=open]", "2023-01-01");
    await page.click("text=Open the seal");
    assert.match(command("seal"), /Nothing is sealed/);
    await page.click("a[href^='/evidence/ledger']");
    assert.match(await page.locator(".kept").innerText(), /any-bar-at-a-low/);
  }

  return { honest, runStudy, watchStudy, stopStudy, staleAnswer, askAgain, studyWithoutModule };
}
