// The page as a person uses it, in Chromium: by mouse, by keyboard alone, on a
// phone's width; each sheet HTML that validates, light and dark without a finding of axe-core
// (Deque's rules after WCAG 2.1).
//
//     node browser.mjs PROGRAM BOOK [FOLDER]      FOLDER: for pictures of each sheet
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { emptySteps } from "./empty_steps.mjs";
import { evidenceSheets, evidenceSteps } from "./evidence_steps.mjs";
import { lineSteps } from "./lines_steps.mjs";
import { orderSteps } from "./orders_steps.mjs";
import { wordSteps } from "./words_steps.mjs";
import { walkSteps } from "./walk_steps.mjs";
import { setupSheets, setupSteps } from "./setups_steps.mjs";

const [, , program, book, folder] = process.argv;
const browserPath = "/usr/bin/chromium";
const require = createRequire(join(process.cwd(), "package.json"));
let chromium, axe, HtmlValidate;
try {
  ({ chromium } = require("playwright-core"));
  ({ HtmlValidate } = require("html-validate"));
  axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
} catch {
  console.log("playwright-core, axe-core or html-validate is not installed");
  process.exit(77);
}
if (!existsSync(browserPath)) {
  console.log("there is no Chromium");
  process.exit(77);
}

const server = spawn(program, ["serve", "--port", "0", "--book", book]);
const address = await new Promise((resolve, reject) => {
  let text = "";
  server.stdout.on("data", (data) => {
    text += data;
    const found = text.match(/http:\S+/);
    if (found) resolve(found[0]);
  });
  server.on("exit", () => reject(new Error(text)));
});
const origin = new URL(address).origin;
const scratch = mkdtempSync(join(tmpdir(), "rushlight-browser-"));
const browser = await chromium.launch({ executablePath: browserPath, args: ["--no-sandbox"] });
const context = await browser.newContext({ viewport: { width: 1400, height: 900 } });
const page = await context.newPage();
context.setDefaultTimeout(120000); // the sanitizers on a busy machine
const faults = [];
page.on("pageerror", (error) => faults.push(error.message));
page.on("response", (response) => {
  if (response.status() >= 400) faults.push(`${response.status()} ${response.url().slice(origin.length)}`);
});
page.on("console", (message) => {
  if (message.type() === "error") faults.push(message.text());
});
const live = () => page.waitForSelector(".frame.live .moving svg");
// The policy of the page forbids what the driver's own waiting would evaluate.
async function until(holds) {
  for (let tries = 0; tries < 800; tries++) {
    if (await holds()) return;
    await page.waitForTimeout(50);
  }
  throw new Error("it did not come: " + holds);
}
const margin = () => page.locator("#bar").innerText();
const ownLines = "/charts?instrument=mothwing-textiles&undo=0-1";
const caseSheet = "/charts?instrument=cut-rush&setup=low-inverted-hammer&case=2024-11-01";

async function enter() {
  await page.goto(address);
  assert.equal(new URL(page.url()).pathname, "/today");
}

// A person imports a file and finds its chart.
async function importFile() {
  const file = join(scratch, "browser-reed.csv");
  const lines = ["time,open,high,low,close"];
  for (let day = 1; day <= 28; day++)
    lines.push(`2021-01-${String(day).padStart(2, "0")},${10 + day},${12 + day},${9 + day},${11 + day}`);
  writeFileSync(file, lines.join("\n") + "\n");
  await page.goto(origin + "/data");
  await page.setInputFiles("#import input[type=file]", file);
  await page.click("text=Import the file");
  await page.waitForSelector("text=browser-reed: 28 bars added");
  // What has no bars any more is told from the rest, with the reason; the way in is at the top.
  await page.goto(origin + "/data?name=r");
  const row = (name) => page.locator("tr", { hasText: name });
  assert.match(await row("browser-reed").innerText(), /28 Jan 2021\s+none for over a month/);
  assert.match(await row("gorsewick-candles").innerText(), /22 May 2020\s+ended: wound up/);
  assert.doesNotMatch(await row("cut-rush").innerText(), /ended|none/);
  assert.equal(await row("brindlequay-ferries").count(), 2, "each length of bars has the name");
  await page.getByText("rushlight instrument browser-reed --kind share").waitFor();
  await page.getByRole("link", { name: "Bring a file in" }).click();
  assert.match(page.url(), /#import$/);
  assert.equal(await page.goto(origin + "/data?as-of=2024-11-01").then(() => page.getByText("Bring a file in").count()), 0);
  await page.goto(origin + "/charts?instrument=browser-reed");
  await live();
  assert.match(await margin(), /close\s+39/);
}

// Today's signal leads to its case, which is cut at its last bar.
async function signalOfTheDay() {
  await page.goto(origin + "/today?as-of=2024-11-01");
  // The setup of that very name: others begin with it.
  const setup = page.getByText(/^low-inverted-hammer$/);
  const row = page.locator("tr").filter({ has: setup }).first();
  // What can be done now is not asked for then; each signal has its line before all else.
  const then = page.locator(".margin");
  assert.match(await then.innerText(), /As it stood then[^]*rdm-fnl short, evening-star-at-resistance/);
  assert.doesNotMatch(await then.innerText(), /take it or leave it|Bring newer|import some/);
  // The shape that it was, of the several that its setup allows, and what is known of that.
  const first = page.locator("article").first();
  assert.equal(await first.locator("h3").innerText(), "rdm-fnl, shooting star, short");
  assert.match(await first.innerText(), /evening-star-at-resistance: [^]*not studied/);
  for (const width of [1024, 390]) {
    await page.setViewportSize({ width, height: 844 });
    const last = await page.locator(".todo ul li").last().boundingBox();
    assert.ok(last.y + last.height <= 844, `the signals are on the first screen of ${width}`);
    assert.ok((await page.getByRole("heading", { name: "Not looked at" }).boundingBox()).y > last.y);
  }
  await page.setViewportSize({ width: 1400, height: 900 });
  assert.match(await row.innerText(), /a price at or above 560\.00, on one of the 3 coming bars/);
  // Opened below its row, and closed again, without leaving the sheet.
  const opener = row.getByRole("link", { name: "The case of cut-rush, low-inverted-hammer" });
  const opened = page.locator("tr.opened");
  await opener.press("Enter");
  await opened.locator("svg.rl-figure").waitFor();
  assert.match(await opened.innerText(), /upper shadow\s+3\.30\s+at least 2 bodies/);
  assert.match(await opened.innerText(), /RSI, against its average\s+23\.89\s+above 34\.86, within 2 bars, not met/);
  await opener.press("Enter");
  assert.equal(await opened.count(), 0);
  await row.locator("a").first().click();
  await live();
  const words = await margin();
  assert.match(words, /1 Nov 2024/);
  assert.match(words, /It meets low-inverted-hammer/);
  assert.match(words, /upper shadow\s+at least 2 bodies; met\s+3\.30\s+high 556\.25/);
}

// Nothing that came after a case is anywhere in what the browser holds.
async function heldBack() {
  const answers = [];
  page.on("response", async (response) => {
    if (response.url().includes("/charts")) answers.push(await response.text().catch(() => ""));
  });
  await page.goto(origin + caseSheet);
  await live();
  await page.locator("#chart").focus();
  await page.keyboard.press("End");
  await page.keyboard.press("ArrowRight");
  await page.waitForTimeout(400);
  assert.match(await margin(), /1 Nov 2024/);
  const all = answers.join("");
  assert.ok(all.includes("1 Nov 2024"));
  for (const later of ["4 Nov 2024", "5 Nov 2024", "2 Dec 2024"])
    assert.ok(!all.includes(later), later + " was sent before it was asked for");
}

// By keyboard alone: another bar, a wider view, the next case.
async function byKeyboard() {
  await page.goto(origin + caseSheet);
  await live();
  await page.locator("#chart").focus();
  const before = await margin();
  await page.keyboard.press("ArrowLeft");
  await until(async () => (await margin()) !== before);
  assert.match(await margin(), /31 Oct 2024/);
  assert.match(await margin(), /does not meet low-inverted-hammer/);
  await page.keyboard.press("p");
  await page.waitForURL(/case=(?!2024-11-01)/);
  await live();
}

// Drag: what is there moves at once, then the exact frame comes.
async function byMouse() {
  await page.goto(origin + "/charts?instrument=cut-rush");
  await live();
  const box = await page.locator("#chart").boundingBox();
  const dates = () => page.locator(".moving").innerHTML();
  const before = await dates();
  await page.mouse.move(box.x + 500, box.y + 200);
  await page.mouse.down();
  await page.mouse.move(box.x + 700, box.y + 200, { steps: 8 });
  await page.mouse.up();
  await until(async () => (await dates()) !== before);
  await page.mouse.move(box.x + 400, box.y + 200);
  assert.match(await page.locator(".readout").innerText(), /open .* high .* low .* close/);
  await page.mouse.click(box.x + 400, box.y + 200);
  await page.waitForURL(/bar=/);
}

// A longer interval beside the shorter: one cross over both.
async function longerBeside() {
  await page.goto(origin + "/charts?instrument=cut-rush&beside=1w");
  await live();
  await page.waitForSelector("#beside.live .moving svg");
  const box = await page.locator("#chart").boundingBox();
  await page.mouse.move(box.x + 300, box.y + 150);
  const dates = () => page.locator(".cross.shown .at-date").allInnerTexts();
  await until(async () => (await dates()).filter(Boolean).length === 2);
  const [day, week] = (await dates()).map((text) => Date.parse(text + " UTC"));
  assert.equal(new Date(week).getUTCDay(), 1, "a week begins on Monday");
  assert.ok(day >= week && day - week < 7 * 86400000);
  const prices = await page.locator(".cross.shown .at-price").allInnerTexts();
  assert.equal(prices[0], prices[1]);
  // Of a case the longer bars hold nothing later either: the week of Wednesday, 28 Aug 2024, ends on that day.
  const answers = [];
  page.on("response", async (response) => {
    if (response.url().includes("/charts/beside")) answers.push(await response.text().catch(() => ""));
  });
  await page.goto(origin + "/charts?instrument=bog-oak&setup=low-inverted-hammer&case=2024-08-28&beside=1w");
  await page.waitForSelector("#beside.live .moving svg");
  const last = JSON.parse(answers.at(-1)).bars.at(-1);
  assert.equal(last[0], "26 Aug 2024");
  assert.equal(last[4], 1830, "the close of 28 Aug 2024");
}

// Panes, averages and scale by controls, kept for each length of bars.
async function showsKept() {
  const svg = () => page.locator("#chart .still").innerHTML();
  await page.goto(origin + "/charts?instrument=cut-rush");
  await live();
  assert.ok(!(await svg()).includes("MACD"));
  await page.check("form.shows input[value=macd]");
  await until(async () => (await svg()).includes("MACD"));
  await page.check("form.shows input[value='50']");
  await page.check("form.shows input[value=log]");
  await page.fill("form.shows input.no", "33");
  await page.keyboard.press("Tab");
  await until(async () => {
    await page.goto(origin + "/charts?instrument=bog-oak");
    return (await page.inputValue("form.shows input.no")) === "33";
  });
  await live();
  for (const value of ["macd", "50", "log", "volume"])
    assert.ok(await page.isChecked(`form.shows input[value='${value}']`), value);
  assert.ok((await svg()).includes("MACD"));
  await page.goto(origin + "/charts?instrument=bog-oak&interval=1w");
  await live();
  assert.ok(!(await page.isChecked("form.shows input[value=macd]")), "weekly bars have their own");
  await page.goto(origin + "/charts?instrument=bog-oak");
  for (const value of ["macd", "50", "log"]) await page.uncheck(`form.shows input[value='${value}']`);
  await page.fill("form.shows input.no", "");
  await page.keyboard.press("Tab");
  await until(async () => {
    await page.goto(origin + "/charts?instrument=bog-oak");
    return (await page.inputValue("form.shows input.no")) === "";
  });
}

// 100 charts by keyboard alone, 20 of them marked; the marks are a list, gone
// through in its turn.
async function evening() {
  const name = () => page.locator("h1").innerText();
  const press = async (key) => {
    const before = page.url();
    await page.keyboard.press(key);
    await until(async () => page.url() !== before);
    // A key struck before the sheet listens is nobody's.
    await live();
  };
  await page.goto(origin + "/charts?list=reedlands&setup=low-inverted-hammer&span=90");
  await live();
  const members = Number((await page.locator(".walk .place").innerText()).match(/of (\d+) in reedlands/)[1]);
  const marked = [];
  let seen = 1;
  let key = ".";
  for (; seen < 100; seen++) {
    const place = Number((await page.locator(".walk .place").innerText()).match(/^\d+/)[0]);
    if (place === members) key = ",";
    if (place === 1) key = ".";
    if (seen % 2 === 1 && marked.length < 20 && seen < members) {
      await page.keyboard.press("1");
      await page.waitForSelector(".marks [data-mark=watch][aria-pressed=true]");
      marked.push(await name());
    }
    await press(key);
    const query = new URL(page.url()).searchParams;
    assert.equal(query.get("setup"), "low-inverted-hammer");
    assert.equal(query.get("list"), "reedlands");
    assert.equal(query.get("span"), "90");
  }
  assert.equal(seen, 100);
  assert.equal(marked.length, 20);
  // The last mark is thought better of, and put on again.
  await page.goto(origin + "/charts?instrument=" + marked[19]);
  await live();
  await page.keyboard.press("1");
  await page.waitForSelector(".marks [data-mark=watch][aria-pressed=false]");
  await page.keyboard.press("2");
  await page.waitForSelector(".marks [data-mark=later][aria-pressed=true]");
  await page.keyboard.press("1");
  await page.waitForSelector(".marks [data-mark=later][aria-pressed=false]");
  await page.goto(origin + "/charts?list=watch");
  await live();
  const listed = [await name()];
  while (await page.locator(".walk a[rel=next]").count()) {
    await press(".");
    listed.push(await name());
  }
  assert.deepEqual(listed, marked);
}

// A name typed, whole or its beginning; one that may be several says so.
async function typedName() {
  await page.goto(origin + "/charts?instrument=cut-rush");
  await live();
  await page.keyboard.press("/");
  await page.keyboard.type("bog-o");
  await until(async () => (await page.locator("#names option").count()) === 1);
  await page.keyboard.press("Enter");
  await page.waitForURL(/instrument=bog-oak/);
  await live();
  assert.equal(await page.locator("h1").innerText(), "bog-oak");
  assert.match(await margin(), /31 Dec 2024/);
  // Another list or setup shows nothing more of a case; another instrument is not cut.
  await page.goto(origin + caseSheet);
  await live();
  await page.selectOption(".choices select[name=list]", "reedlands");
  await page.waitForURL(/list=reedlands/);
  await live();
  assert.equal(new URL(page.url()).searchParams.get("case"), "2024-11-01");
  await page.fill(".choices input[name=instrument]", "bog-oak");
  await page.keyboard.press("Enter");
  await page.waitForURL(/instrument=bog-oak/);
  assert.equal(new URL(page.url()).searchParams.get("case"), null);
}

// One key gives the figure the whole window.
async function wholeWindow() {
  await page.goto(origin + "/charts?instrument=cut-rush");
  await live();
  await page.keyboard.press("w");
  await until(async () => (await page.locator("#chart").boundingBox()).height > 800);
  const box = await page.locator("#chart").boundingBox();
  assert.ok(box.width > 1340 && box.y < 20, JSON.stringify(box));
  await page.keyboard.press("Escape");
  await until(async () => (await page.locator("#chart").boundingBox()).width < 1000);
}

// A past date turns the sheets back.
async function asOf() {
  await page.goto(origin + "/charts?instrument=cut-rush&as-of=2020-06-30");
  await live();
  assert.match(await page.locator(".says").innerText(), /the newest of 30 Jun 2020/);
  // What is of now all the same, and what is entered now, is said where it is.
  const past = async (path) => {
    await page.goto(origin + path + "as-of=2020-06-30");
    return page.locator("p.past").innerText();
  };
  assert.match(await past("/charts?instrument=cut-rush&"), /nothing can be changed here; but setups and lists are as they are now/);
  for (const path of ["/setups?", "/evidence?"]) {
    const words = await past(path);
    assert.match(words, /etups and lists are as they are now/);
    assert.match(words, /entered (in the ledger )?now/);
    assert.doesNotMatch(words, /nothing can be changed/);
  }
}

async function accessible() {
  const sheets = { today: "/today?as-of=2024-11-01", charts: caseSheet, lines: ownLines, drawing: ownLines + "&draw=note", data: "/data", keys: "/keys", words: "/words",
                   ...setupSheets, ...evidenceSheets };
  for (const scheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme: scheme });
    for (const [name, path] of Object.entries(sheets)) {
      await page.goto(origin + path);
      if (path.startsWith("/charts")) await live();
      await page.evaluate(axe);
      const found = await page.evaluate(() => globalThis.axe.run());
      for (const finding of found.violations)
        faults.push(`${name}, ${scheme}: ${finding.id}: ${finding.nodes[0].html.slice(0, 160)}`);
      if (!folder) continue;
      for (const [width, height] of [[1400, 900], [1024, 768], [390, 844]]) {
        await page.setViewportSize({ width, height });
        await page.waitForTimeout(300);
        await page.screenshot({ path: join(folder, `sheet-${name}-${scheme}-${width}.png`) });
      }
      await page.setViewportSize({ width: 1400, height: 900 });
    }
  }
}

// What the server sends is HTML as the standard has it (the WHATWG's content models
// and values of attributes, by html-validate), before a module touches it.
async function valid() {
  const validator = new HtmlValidate({ root: true, extends: ["html-validate:standard"] });
  for (const path of ["/today?as-of=2024-11-01", caseSheet + "&beside=1w", "/charts",
                      ownLines, ownLines + "&draw=channel", "/data", "/keys", "/words", "/nowhere",
                      ...Object.values(setupSheets)]) {
    const sent = await context.request.get(origin + path);
    const report = await validator.validateString(await sent.text());
    for (const { messages } of report.results)
      for (const { ruleId, message, line } of messages) faults.push(`${path}, line ${line}: ${ruleId}: ${message}`);
  }
}

// Nothing is wider than a phone.
async function onAPhone() {
  const phone = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true,
                                           storageState: await context.storageState() });
  const small = await phone.newPage();
  for (const path of ["/today?as-of=2024-11-01", caseSheet, ownLines, "/data", "/keys", "/words", ...Object.values(setupSheets), ...Object.values(evidenceSheets)]) {
    await small.goto(origin + path);
    const wide = await small.evaluate(() => document.documentElement.scrollWidth);
    if (wide > 390) faults.push(`${path}: ${wide} pixels wide on a phone of 390`);
  }
  await small.goto(origin + caseSheet);
  await small.waitForSelector(".frame.live .moving svg");
  const box = await small.locator("#chart").boundingBox();
  await small.touchscreen.tap(box.x + 200, box.y + 100);
  await small.waitForURL(/bar=/);
  await phone.close();
}

const setups = setupSteps({ page, origin, until, program, book, faults });
const { draftTooLong, plainWords, changeLimit, countedByHand, lookAtOutcomes, editFile, keepVersions, keepNames, beginSetup } = setups;
const withoutModule = async function setupWithoutModule() {
  await setups.withoutModule(browser, context);
};

const { runStudy, watchStudy, stopStudy, staleAnswer, askAgain, honest, ...evidence } = evidenceSteps({ page, origin, until, program, book, faults });
const studyWithoutModule = () => evidence.studyWithoutModule(browser, context);

let failed = false;
// While one works on the page: STEPS='drawByMouse drawByKey moveAndUndo', in their order here.
const wanted = process.env.STEPS?.split(" ");
try {
  for (const step of [enter, importFile, signalOfTheDay, heldBack, byKeyboard, byMouse, longerBeside, showsKept,
                      evening, typedName, wholeWindow, asOf, plainWords, changeLimit, countedByHand, lookAtOutcomes, editFile, draftTooLong, keepVersions, keepNames, beginSetup,
                      ...orderSteps({ page, origin, until }),
                      ...walkSteps({ page, origin, until, program, book, faults }),
                      withoutModule,
                      ...lineSteps({ page, context, origin, until, program, book }), runStudy, watchStudy, stopStudy, staleAnswer, askAgain, honest, studyWithoutModule,
                      ...emptySteps({ browser, program, scratch, faults }),
                      ...wordSteps({ page, origin, until, browser, context }), valid, accessible, onAPhone]) {
    if (wanted && step !== enter && !wanted.includes(step.name)) continue;
    await step();
    console.log(step.name);
  }
} catch (error) {
  console.log(error.stack);
  failed = true;
}
await browser.close();
server.kill("SIGTERM");
rmSync(scratch, { recursive: true, force: true });
for (const fault of faults) console.log("fault:", fault);
process.exit(failed || faults.length > 0 ? 1 : 0);
