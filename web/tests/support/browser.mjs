// What the scripts in Chromium share: the browser, what must hold of every view, pictures to be looked at.
import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { chromium } from 'playwright-core';

const pictures = process.env.STUMPWISE_PICTURES;  // a folder: the views are kept there as pictures, to be looked at
if (pictures) mkdirSync(pictures, { recursive: true });

export const launch = () =>
  chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--headless', '--no-sandbox', '--disable-gpu', '--enable-unsafe-swiftshader', '--disable-background-networking', '--no-first-run', '--disable-component-update', '--disable-sync'],
  });

/** Collects what must not happen on a page of `origin`. */
export function watch(page, faults, origin) {
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(`console: ${message.text()}`);
  });
  page.on('pageerror', (error) => faults.push(`fault: ${error.message}`));
  page.on('request', (request) => {
    const url = request.url();
    if (!url.startsWith(origin + '/') && !/^(data|blob|about):/.test(url)) faults.push(`asked outside: ${url}`);
  });
}

export async function fitsTheScreen(page, width) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  assert.ok(over <= 0, `${over} px wider than ${width}`);
  const small = await page.evaluate(() =>
    [...document.querySelectorAll('button, input:not([type=checkbox]), select, nav a, summary, label.tick')]
      .filter((each) => each.offsetParent !== null)
      .filter((each) => each.getBoundingClientRect().height < 47.5)
      .map((each) => `${each.tagName} "${each.textContent?.trim().slice(0, 30)}" ${each.getBoundingClientRect().height}`),
  );
  assert.deepEqual(small, [], 'smaller than a finger');
  const tiny = await page.evaluate(() =>
    [...document.querySelectorAll('main p, main li, main dd, main td, main b, main input, main button')]
      .filter((each) => each.offsetParent !== null && each.textContent?.trim() && parseFloat(getComputedStyle(each).fontSize) < 16)
      .map((each) => each.textContent?.trim().slice(0, 40)),
  );
  assert.deepEqual(tiny, [], 'too small to read outdoors');
}

export async function showsCautions(page, wanted) {
  const shown = await page.locator('[data-caution]:visible').evaluateAll((all) => all.map((each) => [each.getAttribute('data-caution'), each.textContent]));
  assert.deepEqual(shown, wanted.map((each) => [each.id, each.text]));
}

export async function keep(page, name) {
  if (!pictures) return;
  await page.evaluate(() => scrollTo(0, 0));
  await page.screenshot({ path: path.join(pictures, `${name}.png`), fullPage: true });
}
