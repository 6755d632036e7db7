// The page as a person uses it, in Chromium: by mouse, by keyboard alone, on a
// phone's width; each sheet light and dark without a finding of axe-core
// (Deque's rules after WCAG 2.1).
//
//     node browser.mjs PROGRAM BOOK [FOLDER]      FOLDER: for pictures of each sheet
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setupSheets, setupSteps } from "./setups_steps.mjs";

const [, , program, book, folder] = process.argv;
const browserPath = "/usr/bin/chromium";
const require = createRequire(join(process.cwd(), "package.json"));
let chromium, axe;
try {
  ({ chromium } = require("playwright-core"));
  axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
} catch {
  console.log("playwright-core or axe-core is not installed");
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
  for (let tries = 0; tries < 200; tries++) {
    if (await holds()) return;
    await page.waitForTimeout(50);
  }
  throw new Error("it did not come: " + holds);
}
const margin = () => page.locator("#bar").innerText();
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
  await page.goto(origin + "/charts?instrument=browser-reed");
  await live();
  assert.match(await margin(), /close\s+39/);
}

// Today's signal leads to its case, which is cut at its last bar.
async function signalOfTheDay() {
  await page.goto(origin + "/today?as-of=2024-11-01");
  const row = page.locator("tr", { hasText: "low-inverted-hammer" }).first();
  assert.match(await row.innerText(), /a price at or above 560\.00, on one of the 3 coming bars/);
  await row.locator("a").first().click();
  await live();
  const words = await margin();
  assert.match(words, /1 Nov 2024/);
  assert.match(words, /It meets low-inverted-hammer/);
  assert.match(words, /upper shadow\s+at least 2 bodies; met\s+3\.3\s+high 556\.25/);
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

// A past date turns the sheets back.
async function asOf() {
  await page.goto(origin + "/charts?instrument=cut-rush&as-of=2020-06-30");
  await live();
  assert.match(await page.locator(".says").innerText(), /the newest of 30 Jun 2020/);
}

async function accessible() {
  const sheets = { today: "/today?as-of=2024-11-01", charts: caseSheet, data: "/data", keys: "/keys",
                   ...setupSheets };
  for (const scheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme: scheme });
    for (const [name, path] of Object.entries(sheets)) {
      await page.goto(origin + path);
      if (name === "charts") await live();
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

// Nothing is wider than a phone.
async function onAPhone() {
  const phone = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true,
                                           storageState: await context.storageState() });
  const small = await phone.newPage();
  for (const path of ["/today?as-of=2024-11-01", caseSheet, "/data", "/keys", ...Object.values(setupSheets)]) {
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

const setups = setupSteps({ page, origin, until });
const { changeLimit, editFile, keepVersions, beginSetup } = setups;
const withoutModule = async function setupWithoutModule() {
  await setups.withoutModule(browser, context);
};

let failed = false;
try {
  for (const step of [enter, importFile, signalOfTheDay, heldBack, byKeyboard, byMouse, asOf, changeLimit, editFile, keepVersions, beginSetup,
                      withoutModule, accessible,
                      onAPhone]) {
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
