"use strict";
// Drives the pages in `folder` and leaves pictures, and the visits that were exported, behind.
const assert = require("node:assert/strict");
const fs = require("node:fs");
const path = require("node:path");
const { chromium } = require("playwright-core");
const { DESK, PHONE, accessible, fits, shown, watched } = require("./browser.js");

const [folder, pictures] = process.argv.slice(2);
const address = (name) => "file://" + path.resolve(folder, name);

async function open(browser, name, options) {
  const page = await watched(browser, options, (url) => url.startsWith("file://" + path.resolve(folder)));
  await page.goto(address(name));
  return page;
}

async function look(browser) {
  for (const [view, colorScheme, name] of [[PHONE, "light", "phone"], [PHONE, "dark", "phone-dark"], [DESK, "light", "desk"], [DESK, "dark", "desk-dark"]]) {
    const page = await open(browser, "season.html", { viewport: view, colorScheme });
    assert.equal(await page.evaluate(() => document.body.dataset.ready), "yes");
    const ready = await page.evaluate(() => performance.getEntriesByType("navigation")[0].domContentLoadedEventEnd);
    console.log(`${name}: ready after ${ready.toFixed(0)} ms`);
    await fits(page, name);
    await page.screenshot({ path: path.join(pictures, `${name}.png`), fullPage: true });
    await accessible(page, name);
    await page.locator("#calendar a.bar:visible").first().click();
    await page.locator("dialog[open] .curve svg").waitFor();
    await page.screenshot({ path: path.join(pictures, `${name}-window.png`) });
    await accessible(page, `${name}, a window open`);
    assert.deepEqual(page.trouble, []);
    await page.context().close();
  }
}

async function use(browser) {
  const page = await open(browser, "lights.html", { viewport: DESK });
  const choose = (name) => page.locator(`#choose [name=${name}]`);
  const everything = await page.locator("#list > li").count();
  const first = await shown(page);
  assert.ok(first < everything, "one light is shown at first");
  await choose("light").selectOption("all");
  assert.equal(await shown(page), everything);
  await choose("seat").selectOption("B");
  const atB = await shown(page);
  assert.ok(atB > 0 && atB < everything);
  assert.equal(await page.locator("#calendar figure:visible[data-seat]:not([data-seat=B])").count(), 0);
  await choose("weekend").check();
  const weekends = await page.locator("#list > li:visible .head b").allTextContents();
  assert.ok(weekends.length > 0 && weekends.length < atB);
  assert.ok(weekends.every((day) => /^(Sat|Sun) /.test(day)), weekends.join());
  await choose("weekend").uncheck();
  await choose("light").selectOption("0");
  await choose("sort").selectOption("rank");
  const ranks = (await page.locator("#list > li:visible").evaluateAll((all) => all.map((one) => Number(one.dataset.r))));
  assert.deepEqual(ranks, [...ranks].sort((a, b) => a - b));
  const kept = new URL(page.url()).hash;
  assert.ok(kept.includes("seat=B") && kept.includes("sort=rank"), kept);
  await page.reload();
  assert.deepEqual(await page.locator("#list > li:visible").evaluateAll((all) => all.map((one) => Number(one.dataset.r))), ranks);

  // With keys alone: a window opens, Escape closes, the way back leaves it.
  await page.locator("#calendar a.bar:visible").first().focus();
  await page.keyboard.press("Enter");
  await page.locator("dialog[open]").waitFor();
  const number = new URL(page.url()).hash.match(/open=(\d+)/)[1];
  const told = await page.locator("dialog").innerText();
  assert.match(told, /stand-off \d+ m/);
  assert.match(told, /Leave home|Times/);
  await page.keyboard.press("Escape");
  await page.locator("dialog[open]").waitFor({ state: "detached" });
  assert.ok(await page.locator(`#w${number} .told`).count(), "what was shown went back to the list");
  await page.locator("#calendar a.bar:visible").first().click();
  await page.locator("dialog[open]").waitFor();
  await page.goBack();
  await page.locator("dialog[open]").waitFor({ state: "detached" });

  // A day without a window says why.
  const strip = page.locator("#calendar figure:visible svg.strip").nth(1);
  const [dates, from] = await page.evaluate(() => {
    const figure = [...document.querySelectorAll("#calendar figure")].filter((one) => !one.hidden)[1];
    const open = [...document.querySelectorAll("#list > li:not([hidden])")].filter((one) => one.dataset.c === figure.dataset.c).map((one) => one.dataset.d);
    return [open, figure.dataset.from];
  });
  const row = [...Array(28).keys()].find((at) => !dates.includes(`${from.slice(0, 8)}${String(at + 1).padStart(2, "0")}`));
  const box = await strip.boundingBox();
  await strip.click({ position: { x: 20, y: (16 + 24 * row + 12) * box.width / 360 } });
  await page.locator("dialog[open]").waitFor();
  assert.match(await page.locator("#look-name").innerText(), /^Why not/);
  assert.match(await page.locator("#look-body").innerText(), /level|light|closure|way in|freeboard|presence|duration/);
  await page.screenshot({ path: path.join(pictures, "why-not.png") });
  await page.locator("#close").click();
  assert.deepEqual(page.trouble, []);
  await page.context().close();
}

async function note(browser) {
  const page = await open(browser, "season.html", { viewport: PHONE });
  await page.locator("#calendar a.bar:visible").first().click();
  await page.getByRole("button", { name: "Note what was seen" }).click();
  await page.locator("dialog[open]").waitFor({ state: "detached" });
  const field = (name) => page.locator(`#f-${name}`);
  assert.equal(await field("seat").inputValue(), "B");
  assert.equal(await field("place").inputValue(), "tallow-ness");
  const yesterday = new Date(Date.now() - 86400000).toISOString().slice(0, 10);
  await field("when").fill("2999-01-01T08:00");
  await field("outcome").selectOption("absent");
  await field("count").fill("40");
  await field("wind").fill("Q3");
  await field("pressure_hpa").fill("20");
  await page.getByRole("button", { name: "Keep this visit" }).click();
  const said = await page.locator("#wrong").innerText();
  for (const word of ["absent", "not come yet", "Wind", "pressure"]) assert.ok(said.includes(word), `${word} in: ${said}`);
  await accessible(page, "a visit that contradicts itself");
  await field("when").fill(`${yesterday}T08:52`);
  await field("outcome").selectOption("picture");
  await field("wind").fill("nw 4");
  await field("pressure_hpa").fill("1013.5");
  await field("unease").selectOption("1");
  await field("unease_distance_m").fill("61.5");
  await field("sky").selectOption("overcast");
  await field("pictures").fill("12");
  await field("notes").fill("a comma, \"quotes\" and <b>\nand a second line");
  // What is not kept yet survives the page, too.
  await page.reload();
  assert.equal(await field("count").inputValue(), "40");
  await page.getByRole("button", { name: "Keep this visit" }).click();
  assert.equal(await page.locator("#wrong").innerText(), "");
  await field("when").fill(`${yesterday}T11:00`);
  await field("seat").selectOption("A");
  assert.equal(await field("place").inputValue(), "tallow-ness", "a seat says where it is");
  await field("subject").selectOption("slate-knotling");
  await field("outcome").selectOption("called_off");
  await page.getByRole("button", { name: "Keep this visit" }).click();
  await page.reload();
  assert.equal(await page.locator("#visits li").count(), 2);
  await page.locator("#sheet").screenshot({ path: path.join(pictures, "sheet.png") });
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save all visits" }).click()]);
  assert.equal(file.suggestedFilename(), "visits.jsonl");
  await file.saveAs(path.join(folder, "visits.jsonl"));
  await page.getByRole("button", { name: /^Take out/ }).first().click();
  assert.equal(await page.locator("#visits li").count(), 1);
  assert.deepEqual(page.trouble, []);
  await page.context().close();
}

async function others(browser) {
  const plain = await open(browser, "season.html", { viewport: PHONE, javaScriptEnabled: false });
  const list = plain.locator("#list > li summary .head");
  assert.ok(await list.count() > 20);
  for (const at of [0, 20]) assert.ok(await list.nth(at).isVisible(), "without a script the list is there");
  assert.ok(await plain.getByText("Water: estimated from a prediction").first().isVisible());
  await plain.context().close();

  const hostile = await open(browser, "hostile.html", { viewport: DESK });
  assert.equal(await hostile.locator("img").count(), 0);
  await hostile.locator("#calendar a.bar:visible").first().click();
  await hostile.locator("dialog[open]").waitFor();
  assert.equal(await hostile.locator("img").count(), 0);
  assert.deepEqual(hostile.trouble, []);
  await hostile.context().close();

  const empty = await open(browser, "empty.html", { viewport: PHONE });
  assert.equal(await empty.evaluate(() => document.body.dataset.ready), "yes");
  assert.ok(await empty.getByText("No window.").isVisible());
  await fits(empty, "empty");
  assert.deepEqual(empty.trouble, []);
  await empty.context().close();

  const paper = await open(browser, "season.html", { viewport: DESK });
  await paper.pdf({ path: path.join(pictures, "season.pdf"), preferCSSPageSize: true, printBackground: true });
  const there = '#list li[data-d="2026-12-29"]:has(.holds-card):has-text("Spit End hide")';
  const number = await paper.locator(there).first().getAttribute("data-w");
  await paper.evaluate((number) => { print = () => {}; location.hash = `#open=${number}`; }, number);
  await paper.getByRole("button", { name: "Print the card" }).click();
  await paper.pdf({ path: path.join(pictures, "card.pdf"), preferCSSPageSize: true, printBackground: true });
  await paper.goto(address("card.html"));
  await paper.pdf({ path: path.join(pictures, "card-alone.pdf"), preferCSSPageSize: true, printBackground: true });
  const pages = (name) => fs.readFileSync(path.join(pictures, name), "latin1").match(/\/Type\s*\/Page\b/g).length;
  assert.ok(pages("season.pdf") >= 4);
  assert.equal(pages("card-alone.pdf"), 1, "a card is one sheet");
  assert.equal(pages("card.pdf"), pages("card-alone.pdf"), "a card takes the paper that it takes alone");
  await paper.context().close();

  const wall = await open(browser, "wall.svg", { viewport: { width: 1560, height: 1100 } });
  await wall.screenshot({ path: path.join(pictures, "wall.png") });
  assert.deepEqual(wall.trouble, []);
  await wall.context().close();
}

(async () => {
  const flags = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", headless: true, args: flags });
  try {
    for (const part of [look, use, note, others]) {
      await part(browser);
      console.log(`${part.name}: good`);
    }
  } finally {
    await browser.close();
  }
})().catch((error) => {
  console.error(error);
  process.exitCode = 1;
});
