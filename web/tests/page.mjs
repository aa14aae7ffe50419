// The page in Chromium, at the width of a desk and of a phone: plans a walk by clicking the map and holds every number against
// `plan --json`; and what a page of another server can reach (nothing).
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import http from 'node:http';
import { fitsTheScreen, keep, launch, showsCautions, watch } from './support/browser.mjs';
import { close, command, environment, program, scratchFile, startServer, test, today } from './support/program.mjs';

const server = await startServer();
const browser = await launch();

const clock = (instant) => instant.slice(11, 16);
const field = async (where, name) => (await where.locator(`[data-field="${name}"]`).innerText()).trim();
/** As lib/format.ts prints expected finds; written a second time, so that a fault there shows here. */
const finds = (value) => (value === 0 ? '0' : value < 0.01 ? 'under 0.01' : value < 1 ? value.toFixed(2) : value < 10 ? value.toFixed(1) : String(Math.round(value)));
const waitForMap = (page) => page.waitForFunction(() => [...document.querySelectorAll('.frame')].filter((each) => each.offsetParent).every((each) => each.querySelector('canvas') && !each.querySelector('.state')), null, { timeout: 60_000 });

for (const [width, height] of [[1280, 900], [390, 844]]) {
  const context = await browser.newContext({ viewport: { width, height }, acceptDownloads: true, timezoneId: 'Pacific/Auckland', locale: 'en-GB' });
  const page = await context.newPage();
  const faults = [];
  watch(page, faults, server.origin);
  let asked = null;

  await test(`${width} px: the outlook says what the command says`, async () => {
    await page.goto(server.url);
    await page.locator('article').first().waitFor({ timeout: 60_000 });
    assert.ok(!page.url().includes('token'), 'the token stays in the address');
    assert.match(await page.locator('.invented').innerText(), /Invented/);
    const given = command('outlook');
    const ids = await page.locator('article').evaluateAll((all) => all.map((each) => each.getAttribute('data-species')));
    assert.deepEqual(new Set(ids), new Set(given.species.map((each) => each.id)));
    for (const each of given.species) {
      const box = page.locator(`article[data-species="${each.id}"]`);
      assert.equal(await field(box, 'index'), each.days[0].index.toFixed(2));
      assert.equal(await field(box, 'driver'), each.days[0].driver);
      assert.equal(await field(box, 'limit'), each.days[0].limit);
      assert.ok((await box.innerText()).includes(`90 % band ${each.days[0].low90.toFixed(2)} to ${each.days[0].high90.toFixed(2)}`));
    }
    await showsCautions(page, given.cautions);
    await page.getByRole('group', { name: 'Day', exact: true }).getByRole('button').nth(4).click();
    for (const each of given.species) assert.equal(await field(page.locator(`article[data-species="${each.id}"]`), 'index'), each.days[4].index.toFixed(2));
    await fitsTheScreen(page, width);
    await keep(page, `outlook-${width}`);
  });

  await test(`${width} px: the map draws relief and prospect, with a legend in numbers`, async () => {
    await page.locator('nav').getByRole('link', { name: /^Map/ }).click();
    await waitForMap(page);
    const legend = page.locator('section[aria-label="Legend"]:visible');
    await legend.waitFor();
    const given = command('prospect', '--species', await page.locator('.pick select').inputValue(), '--date', today, '--out', scratchFile(`map-${width}.tif`));
    const labels = await legend.locator('.legend li .reading').allInnerTexts();
    assert.deepEqual(labels, given.legend.map((each) => each.label).reverse());
    await showsCautions(page, given.cautions);
    const canvas = page.locator('.map canvas:visible');
    const both = await canvas.screenshot();
    await page.getByLabel('prospect').uncheck();
    await page.waitForTimeout(600);
    const relief = await canvas.screenshot();
    await page.getByLabel('relief').uncheck();
    await page.waitForTimeout(600);
    const paper = await canvas.screenshot();
    assert.ok(!both.equals(relief), 'the prospect is not drawn');
    assert.ok(!relief.equals(paper), 'the relief is not drawn');
    await page.getByLabel('relief').check();
    await page.getByLabel('prospect').check();
    await waitForMap(page);
    await fitsTheScreen(page, width);
    await keep(page, `map-${width}`);
  });

  await test(`${width} px: faults of the form are told at once, in words`, async () => {
    await page.locator('nav').getByRole('link', { name: /^Plan/ }).click();
    await page.getByLabel(/^Hours/).fill('');
    await page.getByRole('button', { name: 'Plan the walk' }).click();
    const told = await page.getByRole('alert').filter({ visible: true }).innerText();
    assert.match(told, /Start: Click the map/);
    assert.match(told, /Hours: 0.25 to 24/);
    await page.getByLabel(/^Hours/).fill('4');
  });

  await test(`${width} px: a walk planned by a click has the command's numbers`, async () => {
    await waitForMap(page);
    const map = page.locator('.map:visible');
    await map.scrollIntoViewIfNeeded();
    const box = await map.boundingBox();
    await page.getByText(/^Species:/).filter({ visible: true }).click();
    for (const id of ['E01', 'O22']) await page.locator(`input[type=checkbox][value="${id}"]:visible`).check();
    const start = page.getByRole('textbox', { name: /^Start/ });
    // A click may fall into water or on a cliff; then the page says so and the next one is tried.
    const clicks = [[0.5, 0.5], [0.42, 0.5], [0.58, 0.5], [0.5, 0.44], [0.5, 0.56], [0.35, 0.45], [0.65, 0.55], [0.4, 0.6], [0.6, 0.4]];
    for (const [x, y] of clicks) {
      const before = await start.inputValue();
      await map.click({ position: { x: Math.round(box.width * x), y: Math.round(box.height * y) } });
      await page.waitForFunction((was) => [...document.querySelectorAll('input')].some((each) => each.offsetParent && /^-?\d+\.\d{5}, -?\d+\.\d{5}$/.test(each.value) && each.value !== was), before);
      await page.getByRole('button', { name: 'Plan the walk' }).click();
      await page.locator('[data-stop], [role=alert]').filter({ visible: true }).first().waitFor({ timeout: 60_000 });
      if (await page.locator('[data-stop]').count()) break;
    }
    asked = (await start.inputValue()).replace(' ', '');
    assert.ok(await page.locator('[data-stop]').count(), await page.getByRole('alert').filter({ visible: true }).allInnerTexts().then((all) => all.join(' ')));
    const given = command(...planWords(asked));
    for (const name of ['depart', 'latest_depart', 'end_time', 'deadline', 'sunset', 'civil_dusk']) assert.equal(await field(page, name), clock(given[name]), name);
    assert.equal(await page.locator('[data-stop]').count(), given.stops.length);
    for (const stop of given.stops) {
      const shown = page.locator(`[data-stop="${stop.number}"]`);
      for (const name of ['turn_back', 'arrive', 'leave_by']) assert.equal(await field(shown, name), clock(stop[name]), `stop ${stop.number} ${name}`);
      assert.equal(await field(shown, 'median_finds'), finds(stop.median_finds));
      const size = await shown.locator('[data-field="turn_back"]').evaluate((each) => parseFloat(getComputedStyle(each).fontSize));
      assert.ok(size >= 36, 'the turn-back clock is the largest thing of a stop');
    }
    assert.equal(await field(page, 'total_finds'), finds(given.total.median_finds));
    assert.equal(await page.locator('tr[data-leg]').count(), given.legs.length);
    await showsCautions(page, given.cautions);
    assert.equal(await page.locator('.map:visible .mark.stop').count(), given.stops.length);
    await fitsTheScreen(page, width);
    await keep(page, `plan-${width}`);
  });

  await test(`${width} px: the GPX is the command's file`, async () => {
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save the GPX' }).click()]);
    assert.match(download.suggestedFilename(), /^walk-\d{4}-\d{2}-\d{2}\.gpx$/);
    const file = scratchFile(`walk-${width}.gpx`);
    execFileSync(program, [...planWords(asked), '--gpx', file], { env: environment, stdio: 'ignore' });
    assert.equal(readFileSync(await download.path(), 'utf8'), readFileSync(file, 'utf8'));
  });

  await test(`${width} px: the printable sheet opens, styled and without script`, async () => {
    const [sheet] = await Promise.all([context.waitForEvent('page'), page.getByRole('button', { name: 'Printable sheet' }).click()]);
    await sheet.waitForURL(/\/sheets\/[0-9a-f]{32}$/, { timeout: 30_000 });
    const text = await sheet.locator('body').innerText();
    const given = command(...planWords(asked));
    for (const stop of given.stops) assert.ok(text.includes(clock(stop.turn_back)), `turn-back time of stop ${stop.number}`);
    for (const each of given.cautions) assert.ok(text.replace(/\s+/g, ' ').includes(each.text), each.id);
    assert.equal(await sheet.locator('script').count(), 0);
    await keep(sheet, `sheet-${width}`);
    await sheet.close();
  });

  await test(`${width} px: keyboard alone reaches the views`, async () => {
    await page.locator('.skip').focus();
    const order = [];
    for (let i = 0; i < 4; ++i) {
      order.push(await page.evaluate(() => document.activeElement?.textContent?.trim().replace(/\s+/g, ' ')));
      await page.keyboard.press('Tab');
    }
    assert.ok(order.some((each) => each?.startsWith('Outlook')) && order.some((each) => each?.startsWith('Plan')), order.join(' | '));
    const unnamed = await page.evaluate(() => [...document.querySelectorAll('input, select')].filter((each) => each.offsetParent && each.labels?.length === 0).length);
    assert.equal(unnamed, 0, 'fields without a label');
  });

  await test(`${width} px: nothing forbidden is said on any view`, async () => {
    for (const view of ['Outlook', 'Map', 'Plan']) {
      await page.locator('nav').getByRole('link', { name: new RegExp(`^${view}`) }).click();
      const text = await page.locator('body').innerText();
      assert.doesNotMatch(text.replace(/\b(not|never) (a )?safe\b/gi, ''), /\b(safe|safely|foolproof|100 ?%|no look-?alikes)\b|edible: yes|confirmed edible/i, view);
    }
  });

  await test(`${width} px: no fault, no broken rule of the policy, nothing asked outside`, () => {
    assert.deepEqual(faults, []);
  });
  await context.close();
}

function planWords(start) {
  assert.ok(start, 'no walk was planned');
  return ['plan', '--start', start, '--hours', '4', '--date', today, '--depart', '09:00', '--buffer', '45', '--factor', '1.25', '--species', 'E01', '--species', 'O22'];
}

await test('without the token the page explains itself and asks nothing', async () => {
  const page = await browser.newPage();
  const calls = [];
  page.on('request', (request) => request.url().includes('/api/') && calls.push(request.url()));
  await page.goto(server.origin + '/');
  await page.getByText('This page needs its key').waitFor();
  assert.deepEqual(calls, []);
  await page.close();
});

await test('with the token of another run the page says what to do', async () => {
  const page = await browser.newPage();
  await page.goto(`${server.origin}/#token=${'0'.repeat(64)}`);
  assert.match(await page.getByRole('alert').innerText(), /token of this run/);
  await page.close();
});

await test('a page of another server, even one that knows the token, gets nothing', async () => {
  const foreign = http.createServer((_, response) => response.writeHead(200, { 'Content-Type': 'text/html' }).end('<title>foreign</title>'));
  await new Promise((ready) => foreign.listen(0, '127.0.0.1', ready));
  const page = await browser.newPage();
  const statuses = [];
  page.on('response', (response) => response.url().includes('/api/') && statuses.push(response.status()));
  await page.goto(`http://127.0.0.1:${foreign.address().port}/`);
  const got = await page.evaluate(
    async ([origin, token]) => {
      const attempt = (init) => fetch(origin + '/api/v1/status', init).then((answer) => answer.type, () => 'refused');
      return Promise.all([
        attempt({}),
        attempt({ headers: { 'X-Stumpwise-Token': token } }),
        attempt({ mode: 'no-cors' }),
        fetch(origin + '/api/v1/plan', { method: 'POST', mode: 'no-cors', body: '{}' }).then((answer) => answer.type, () => 'refused'),
      ]);
    },
    [server.origin, server.token],
  );
  assert.deepEqual(got.slice(0, 2), ['refused', 'refused']);
  assert.ok(got.slice(2).every((each) => each === 'opaque' || each === 'refused'), got.join(' '));
  assert.ok(statuses.every((each) => each === 403), `answered ${statuses.join(' ')}`);
  await page.goto(`http://127.0.0.1:${foreign.address().port}/`);
  const framed = await page.evaluate(
    (origin) =>
      new Promise((resolve) => {
        const frame = document.createElement('iframe');
        frame.src = origin + '/';
        frame.onload = () => setTimeout(() => resolve(frame.contentWindow.length), 300);
        document.body.append(frame);
      }),
    server.origin,
  );
  assert.equal(framed, 0);
  const inside = page.frames().find((each) => each !== page.mainFrame());
  assert.ok(!inside || !inside.url().startsWith(server.origin), 'the page lets itself be framed');
  await page.close();
  foreign.close();
});

await browser.close();
await test('the server ends', async () => assert.deepEqual(await server.stop(), { code: 0, signal: null }));
close();
