// From case to case over a whole list, against what the command line finds there;
// and from bar to bar, with nothing later anywhere in what the browser holds.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";

export function walkSteps({ page, origin, until, program, book }) {
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

  return [everyCase, barByBar];
}
