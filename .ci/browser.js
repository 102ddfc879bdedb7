"use strict";
// What driving any of our pages in a browser needs.
const assert = require("node:assert/strict");
const fs = require("node:fs");
const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const PHONE = { width: 390, height: 844 }, DESK = { width: 1280, height: 900 };
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

async function accessible(page, what) {
  // By the debugger: the page's own policy lets no other script in.
  await page.evaluate(axe + ";0");
  const result = await page.evaluate((rules) => axe.run(document, { runOnly: { type: "tag", values: rules } }), RULES);
  const said = result.violations.map((one) => `${one.id}: ${one.help}\n  ${one.nodes.slice(0, 3).map((node) => node.html.slice(0, 160)).join("\n  ")}`);
  assert.deepEqual(said, [], `${what}: not accessible`);
  console.log(`${what}: ${result.passes.length} rules of accessibility pass`);
}

// A page that notes as trouble what it should not do: speak in the console, fail, alert, or ask for what is not `ours`.
async function watched(browser, options, ours) {
  const context = await browser.newContext({ acceptDownloads: true, ...options });
  const page = await context.newPage();
  page.trouble = [];
  page.on("console", (message) => page.trouble.push(message.text()));
  page.on("pageerror", (error) => page.trouble.push(String(error)));
  page.on("request", (request) => {
    if (!ours(request.url()) && !request.url().startsWith("blob:")) page.trouble.push("asked for " + request.url());
  });
  page.on("dialog", (dialog) => {
    if (dialog.type() === "alert") page.trouble.push("an alert: " + dialog.message());
    dialog.accept();
  });
  return page;
}

const shown = (page) => page.locator("#list > li:visible").count();
const fits = async (page, what) => {
  const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(wide <= room, `${what}: ${wide} px in ${room}`);
};

module.exports = { DESK, PHONE, accessible, fits, shown, watched };
