// A book without a bar offers two things: files, which may be dropped anywhere on the
// sheet, and the invented market, made while one watches. Each on a book of its own.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { join } from "node:path";

export function emptySteps({ browser, program, scratch, faults }) {
  async function onNewBook(name, look, options = {}) {
    const server = spawn(program, ["serve", "--port", "0", "--book", join(scratch, name)]);
    let text = "";
    const address = await new Promise((resolve, reject) => {
      server.stdout.on("data", (data) => {
        text += data;
        const found = text.match(/http:\S+/);
        if (found) resolve(found[0]);
      });
      server.on("exit", () => reject(new Error(text)));
    });
    const context = await browser.newContext(options);
    const page = await context.newPage();
    context.setDefaultTimeout(120000);
    page.on("pageerror", (error) => faults.push(`${name}: ${error.message}`));
    try {
      await page.goto(address);
      await look(page, new URL(address).origin);
    } finally {
      await context.close();
      server.removeAllListeners("exit");
      server.kill("SIGTERM");
    }
  }

  const twoThings = async (page) => {
    assert.match(await page.locator(".says").innerText(), /This book is empty/);
    assert.deepEqual(await page.locator("main h2").allInnerTexts(), ["Your own prices", "The invented market"]);
  };

  async function dropFile() {
    await onNewBook("dropped.sqlite", async (page, origin) => {
      await twoThings(page);
      const lines = ["time,open,high,low,close"];
      for (let day = 1; day <= 9; day++) lines.push(`2021-01-0${day},${10 + day},${12 + day},${9 + day},${11 + day}`);
      const held = await page.evaluateHandle((text) => {
        const data = new DataTransfer();
        data.items.add(new File([text], "dropped-reed.csv", { type: "text/csv" }));
        return data;
      }, lines.join("\n") + "\n");
      await page.dispatchEvent("main h1", "dragover", { dataTransfer: held });
      await page.waitForSelector(".import.dropping");
      await page.dispatchEvent("main h1", "drop", { dataTransfer: held });
      await page.keyboard.press("Enter"); // the button has the focus
      await page.waitForSelector("text=dropped-reed: 9 bars added");
      assert.equal(await page.locator("text=Make the invented market").count(), 0);
      // What is invented is not mixed with what is there, whatever a browser sends.
      const token = await page.locator("input[name=token]").first().inputValue();
      const sent = await page.request.post(origin + "/data/market", { form: { token }, headers: { Origin: origin } });
      assert.equal(sent.status(), 422);
      assert.match(await sent.text(), /nothing was made: this book holds prices already/);
    });
  }

  // Without a module too: links and forms alone. Stopped half made, it is completed.
  async function makeMarket() {
    await onNewBook("made.sqlite", async (page) => {
      await twoThings(page);
      await page.click("text=Make the invented market");
      // Once an instrument or two is there: what is half made is to be completed.
      for (let tries = 0; tries < 300 && !/About \d/.test(await page.locator("main").innerText()); tries++) {
        await page.waitForTimeout(100);
        await page.reload();
      }
      await page.click("text=Stop it");
      for (let tries = 0; tries < 200 && !/was stopped/.test(await page.locator("main").innerText()); tries++) {
        await page.waitForTimeout(100);
        await page.reload();
      }
      assert.match(await page.locator("main").innerText(), /It was stopped before it was done/);
      await page.goto(new URL("/data", page.url()).href);
      await page.click("text=Complete the invented market");
      for (let tries = 0; tries < 600 && /job=/.test(page.url()); tries++) {
        await page.waitForTimeout(100);
        await page.locator("a.again").click({ timeout: 2000 }).catch(() => {});
      }
      assert.match(page.url(), /\/today$/);
      assert.match(await page.locator(".says").innerText(), /40 instruments/);
      await page.goto(new URL("/data", page.url()).href);
      assert.equal(await page.locator("text=Complete the invented market").count(), 0);
    }, { javaScriptEnabled: false });
  }

  return [dropFile, makeMarket];
}
