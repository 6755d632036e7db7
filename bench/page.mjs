// The page under the hand and under load, in Chromium: figures for page.sh.
//
//     node page.mjs PROGRAM BOOK        BOOK: the invented market, `long` of 50,000
//                                       bars, and many instruments besides
import { spawn } from "node:child_process";
import { createRequire } from "node:module";
import { join } from "node:path";

const [, , program, book] = process.argv;
const { chromium } = createRequire(join(process.cwd(), "package.json"))("playwright-core");
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
process.on("exit", () => server.kill("SIGTERM"));
const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
const context = await browser.newContext({ viewport: { width: 1400, height: 900 } });
const page = await context.newPage();
const part = (values, share) => [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))];
// A figure of a sheet that was not answered would be one of its refusal.
function good(status, address) {
  if (status !== 200) throw new Error(`${address} was answered with ${status}`);
}
async function open(path, more = {}) {
  const answer = await page.goto(origin + path, more);
  good(answer.status(), path);
}
const live = () => page.waitForSelector(".frame.live .moving svg");
const say = (what, values, unit = "ms") =>
  console.log(`${what}: median ${part(values, 0.5).toFixed(1)}, 95 % ${part(values, 0.95).toFixed(1)} ${unit}, of ${values.length}`);

// Frames between the first and the last move of the mouse, as the browser paints them.
async function drag(span) {
  await open(`/charts?instrument=long&span=${span}`);
  await live();
  const box = await page.locator("#chart").boundingBox();
  await page.evaluate(() => {
    globalThis.frames_seen = [];
    const step = (time) => {
      globalThis.frames_seen.push(time);
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  });
  await page.mouse.move(box.x + 200, box.y + 200);
  await page.mouse.down();
  await page.evaluate(() => (globalThis.frames_seen.length = 0));
  const began = Date.now();
  for (let i = 0; Date.now() - began < 3000; i++) {
    const to = 200 + 300 * Math.abs(Math.sin(i / 40));
    await page.mouse.move(box.x + to, box.y + 200);
  }
  const times = await page.evaluate(() => globalThis.frames_seen);
  await page.mouse.up();
  const gaps = times.slice(1).map((time, i) => time - times[i]);
  const rate = (1000 * gaps.length) / (times.at(-1) - times[0]);
  console.log(`dragging, ${span} of 50,000 bars in view: ${rate.toFixed(1)} frames a second, 95 % within ${part(gaps, 0.95).toFixed(1)} ms`);
}

// From the key to the paint of the next case's sheet, in which the figure stands
// already, by the browser's own clock; and until its module holds it.
async function nextCase() {
  await open("/charts?instrument=cut-rush&setup=low-inverted-hammer&case=2024-11-01");
  await live();
  const painted = [];
  const held = [];
  for (let i = 0; i < 40; i++) {
    const before = page.url();
    await page.evaluate(() =>
      addEventListener("keydown", () => sessionStorage.setItem("pressed", performance.timeOrigin + performance.now()), true));
    const began = performance.now();
    await page.keyboard.press(i % 2 === 0 ? "p" : "n");
    await page.waitForURL((url) => url.href !== before);
    await live();
    held.push(performance.now() - began);
    const isPainted = () => page.evaluate(() => performance.getEntriesByName("first-contentful-paint").length > 0);
    while (!(await isPainted())) await page.waitForTimeout(20);
    painted.push(await page.evaluate(() => {
      if (!document.querySelector("#chart svg")) throw new Error("the sheet came without its figure");
      const { startTime } = performance.getEntriesByName("first-contentful-paint")[0];
      return performance.timeOrigin + startTime - Number(sessionStorage.getItem("pressed"));
    }));
  }
  say("next case, key to paint", painted);
  say("next case, key to a figure that moves, with the driver's own waiting", held);
}

// From the limit typed to the counts of 40 instruments in their place.
async function changedLimit() {
  await open("/setups?setup=low-inverted-hammer&list=reedlands");
  const input = page.locator("[id='n.confirm.1.level']");
  const counted = () => page.locator("tr", { has: input }).locator("td[data-l=together]").innerText();
  const before = await counted();
  await page.waitForTimeout(1500);
  const waits = [];
  for (let i = 0; i < 20; i++) {
    const level = 31 + (i % 17);
    const answered = page.waitForResponse((response) => response.url().includes(`n.confirm.1.level=${level}`));
    const began = performance.now();
    await input.fill(String(level));
    const answer = await answered;
    await answer.finished();
    waits.push(performance.now() - began);
    good(answer.status(), answer.url());
    await page.waitForTimeout(300);
  }
  if ((await counted()) === before) throw new Error("the counts did not follow the limit");
  say("a changed limit on 40 instruments, typed to answered", waits);
}

async function firstPaint() {
  for (const path of ["/today", "/charts", "/charts?instrument=cut-rush", "/setups",
                      "/setups?setup=low-inverted-hammer&list=reedlands", "/data", "/keys"]) {
    const waits = [];
    for (let i = 0; i < (path === "/today" ? 1 : 9); i++) {
      try {
        await open(path, { timeout: 150000, waitUntil: "load" });
        waits.push(await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? performance.now()));
      } catch (error) {
        console.log(`first paint of ${path}: ${error.message.split("\n")[0]}`);
        process.exitCode = 1;
        break;
      }
    }
    if (waits.length) say(`first paint of ${path}`, waits);
  }
}

// 20 clients, each asking again as soon as it is answered.
async function clients() {
  const cookies = (await context.cookies()).map(({ name, value }) => `${name}=${value}`).join("; ");
  const paths = ["/charts?instrument=cut-rush", "/data", "/charts/names?name=bog", "/setups",
                 "/charts/bar?instrument=cut-rush&bar=2024-11-01"];
  const waits = {};
  await Promise.all([...Array(20).keys()].map(async (client) => {
    for (let i = 0; i < 50; i++) {
      const path = paths[(client + i) % paths.length];
      const began = performance.now();
      const answer = await fetch(origin + path, { headers: { cookie: cookies } });
      await answer.arrayBuffer();
      good(answer.status, path);
      (waits[path] ??= []).push(performance.now() - began);
    }
  }));
  say("20 clients, all answers", Object.values(waits).flat());
  for (const [path, values] of Object.entries(waits)) say(`  ${path}`, values);
}

// The cookie alone: the sheet that the address leads to is measured with the others.
await context.request.get(address, { maxRedirects: 0 });
const wanted = process.env.STEPS?.split(" "); // while one works on it
for (const step of [function drag300() { return drag(300); }, function drag3000() { return drag(3000); }, nextCase, changedLimit, clients, firstPaint]) {
  if (wanted && !wanted.includes(step.name)) continue;
  try {
    await step();
  } catch (error) {
    console.log(error.message.split("\n")[0]);
    process.exitCode = 1;
  }
}
await browser.close();
process.exit();
