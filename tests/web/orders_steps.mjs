// Entry, stop and target on the figure of a case: by mouse, by key, by number. The
// numbers expected are worked out here from the prices of the demo market's bar
// (551.00 at its close, 556.25 its high, 549.00 its low), as docs/method.md 7 has them.
import assert from "node:assert/strict";

export function orderSteps({ page, origin, until }) {
  const caseSheet = "/charts?instrument=cut-rush&setup=low-inverted-hammer&case=2024-11-01";
  const live = () => page.waitForSelector(".frame.live .moving svg");
  const value = (name) => page.inputValue(`#orders input[name=${name}]`);
  const words = () => page.locator("#orders").innerText();
  const line = (name) => page.locator(`.order[aria-label=${name}]`);
  const inAddress = (name) => new URL(page.url()).searchParams.get(name);
  // ticks, ATR and R of a line
  const cells = async (name) =>
    (await page.locator("#orders tr", { has: page.locator(`input[name=${name}]`) }).locator("td").allInnerTexts())
      .map((text) => Number(text.replace("\u2212", "-").replace("\u202F", "")));

  async function open() {
    await page.goto(origin + caseSheet);
    await live();
    await line("stop").waitFor();
  }

  async function ordersOnTheFigure() {
    await open();
    const entry = Number(await value("entry"));
    const stop = Number(await value("stop"));
    const target = Number(await value("target"));
    assert.equal(await line("entry").getAttribute("aria-valuenow"), entry.toFixed(2));
    assert.ok(entry > 551 && stop < 549 && target > entry);
    const tick = Number(await page.getAttribute("#order-facts", "data-tick"));
    const [, , entryTicks] = await cells("entry");
    assert.equal(entryTicks, Math.round((entry - Number(await closeOf())) / tick));
    const [, , stopTicks, , stopR] = await cells("stop");
    assert.equal(stopTicks, Math.round((stop - entry) / tick));
    assert.equal(stopR, -1);
    const [, , targetTicks, , targetR] = await cells("target");
    assert.equal(targetTicks, Math.round((target - entry) / tick));
    assert.ok(Math.abs(targetR - (target - entry) / (entry - stop)) < 0.0051);
    assert.match(await words(), /No order is sent/);
    assert.match(await words(), /loses? money|can lose|losses?/i);
  }
  const closeOf = async () =>
    (await page.locator("#bar tr", { has: page.locator("th", { hasText: /^close$/ }) }).locator("td").first().innerText());

  async function ordersByKey() {
    await open();
    const tick = Number(await page.getAttribute("#order-facts", "data-tick"));
    const before = Number(await value("stop"));
    const target = await value("target");
    await line("stop").focus();
    await page.keyboard.press("ArrowDown");
    await until(async () => Number(await value("stop")) === before - tick);
    await page.keyboard.press("Shift+ArrowDown");
    await until(async () => Number(await value("stop")) === before - 11 * tick);
    assert.equal(inAddress("stop"), (before - 11 * tick).toFixed(2));
    assert.ok(await line("stop").evaluate((it) => it === it.ownerDocument.activeElement), "it keeps the focus");
    assert.notEqual(await value("target"), target, "a target in R follows the stop");
    await page.reload();
    await line("stop").waitFor();
    assert.equal(Number(await value("stop")), before - 11 * tick, "the address has it");
    await line("stop").focus();
    await page.keyboard.press("Delete");
    await until(async () => Number(await value("stop")) === before);
    assert.equal(inAddress("stop"), null);
  }

  async function ordersByMouse() {
    await open();
    const tick = Number(await page.getAttribute("#order-facts", "data-tick"));
    const before = Number(await value("target"));
    const box = await line("target").boundingBox();
    await page.mouse.move(box.x + 6, box.y + 7);
    await page.mouse.down();
    await page.mouse.move(box.x + 6, box.y + 47, { steps: 5 });
    await page.mouse.up();
    await until(async () => inAddress("target") !== null);
    await until(async () => Number(await value("target")) === Number(inAddress("target")));
    const after = Number(await value("target"));
    assert.ok(after < before);
    assert.ok(Math.abs(after / tick - Math.round(after / tick)) < 1e-9, "it stands on a tick");
    await until(async () => (await page.locator("#chart .still").innerHTML()).includes("target " + after.toFixed(2)));
    // A stop on the wrong side has no R, and says so.
    await page.fill("#orders input[name=stop]", "700");
    await page.keyboard.press("Tab");
    await until(async () => /does not stand below the entry/.test(await words()));
    await page.click("#orders a[data-way='']");
    await until(async () => Number(await value("target")) === before);
    assert.equal(inAddress("stop"), null);
  }

  // A ring that is pressed and not moved leaves its order where it is, and as it is bound.
  async function ordersPressed() {
    await open();
    const before = page.url();
    const settled = [];
    const listen = (request) => { if (request.url().includes("/charts/orders?")) settled.push(request.url()); };
    page.on("request", listen);
    for (const [aside, jitter] of [[0, 0], [4, 0], [-4, 2]]) {
      const box = await line("target").boundingBox();
      await page.mouse.move(box.x + 6, box.y + box.height / 2 + aside);
      await page.mouse.down();
      await page.mouse.move(box.x + 6, box.y + box.height / 2 + aside + jitter);
      await page.mouse.up();
    }
    await page.waitForTimeout(300);
    page.off("request", listen);
    assert.equal(page.url(), before, "nothing is put anywhere");
    assert.deepEqual(settled, []);
    assert.equal(await page.locator(".order.moving-now").count(), 0);
  }

  async function waysIn() {
    await open();
    const own = await value("entry");
    await page.click("#orders a[data-way=close]");
    await until(async () => inAddress("way") === "close");
    await until(async () => (await page.locator("#orders .ways [aria-current]").innerText()) === "at a close beyond");
    await page.click("#orders a[data-way=return]");
    await until(async () => (await page.locator("#orders .ways [aria-current]").innerText()) === "at the return");
    assert.notEqual(await value("entry"), own, "the return is to another level");
    await page.goto(origin + "/charts?instrument=cut-rush&setup=low-inverted-hammer");
    await live();
    assert.equal(await page.locator("#orders").count(), 0, "without a case there are no orders");
  }

  return [ordersOnTheFigure, ordersByKey, ordersByMouse, ordersPressed, waysIn];
}
