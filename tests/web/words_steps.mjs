// A word explains itself on its own line, in the margin where that is free, below on a
// narrow window; without a module it leads to its place on the sheet of words.
import assert from "node:assert/strict";

export function wordSteps({ page, origin, until, browser, context }) {
  const note = () => page.locator(".explained");

  async function explainedInPlace() {
    await page.goto(origin + "/evidence");
    const word = page.locator(".words-here a.word", { hasText: /^trial$/ });
    await word.click();
    await note().waitFor();
    assert.match(await note().innerText(), /^trial: One setup whose outcomes were shown.* Source: /s);
    const [line, box] = [await word.boundingBox(), await note().boundingBox()];
    assert.ok(Math.abs(box.y - line.y) < 12, "it stands on the line of its word");
    assert.ok(box.x > 900 && Math.abs(box.width - 354) < 1, JSON.stringify(box));
    // Another word takes its place; Escape closes it, and one is where one was.
    await page.locator(".words-here a.word", { hasText: /^mean R$/ }).focus();
    await page.keyboard.press("Enter");
    await until(async () => /^mean R: /.test(await note().innerText()));
    assert.equal(await note().count(), 1);
    await page.keyboard.press("Escape");
    assert.equal(await note().count(), 0);
    assert.equal(await page.evaluate(() => document.activeElement.dataset.word), "mean R");
    await page.setViewportSize({ width: 390, height: 844 });
    await word.click();
    await note().waitFor();
    const below = await note().boundingBox();
    assert.ok(below.y > (await word.boundingBox()).y && below.x < 40 && below.x + below.width <= 390);
    await page.setViewportSize({ width: 1400, height: 900 });
  }

  async function wordsWithoutModule() {
    const plain = await browser.newContext({ javaScriptEnabled: false, storageState: await context.storageState() });
    const sheet = await plain.newPage();
    await sheet.goto(origin + "/evidence?as-of=2024-11-01");
    await sheet.locator(".words-here a.word", { hasText: /^mean R$/ }).click();
    assert.equal(sheet.url(), origin + "/words?as-of=2024-11-01#w-mean-r");
    assert.equal(await sheet.locator("div:target dt").innerText(), "mean R");
    await plain.close();
  }

  // A letter leads to its first word; the keys stand under where they are pressed.
  async function findAWord() {
    await page.goto(origin + "/words");
    await page.getByRole("navigation", { name: "Words by letter" }).getByRole("link", { name: "R", exact: true }).click();
    assert.equal(await page.locator("div:target dt").innerText(), "R");
    await page.getByRole("link", { name: "shapes", exact: true }).click();
    assert.equal(await page.locator("section:target h2").innerText(), "shapes");
    assert.doesNotMatch(await page.locator("main").innerText(), /docs\//);
    await page.goto(origin + "/keys");
    const line = page.locator("section", { hasText: "On Charts" }).locator("tr", { hasText: "case of the setup" });
    assert.deepEqual(await line.locator("kbd").allInnerTexts(), ["n", "p"]);
  }

  return [explainedInPlace, wordsWithoutModule, findAWord];
}
