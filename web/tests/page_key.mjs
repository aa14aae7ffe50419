// The key in Chromium, at the width of a desk and of a phone: from the first glance at a fruit body to `doubles contradicted`, a
// danger that stays, readings that are replaced and taken back, and pieces with another person's word.
import assert from 'node:assert/strict';
import { fitsTheScreen, keep, launch, showsCautions, watch } from './support/browser.mjs';
import { close, command, startServer, test, today } from './support/program.mjs';

const server = await startServer();
const browser = await launch();

/** One yellowfoot as its profile has it, the quick looks first. */
const kYellowfoot = [
  { id: 'C07', states: ['forked'] },
  { id: 'C08', states: ['yellow'] },
  { id: 'C12', states: ['convex'] },
  { id: 'C17', states: ['central'] },
  { id: 'C18.width', number: '0.65', unit: 'cm' },
  { id: 'C20', states: ['one-hollow'], flags: ['dug', 'cut'] },
  { id: 'C23', states: ['none'], flags: ['dug'] },
  { id: 'C28', states: ['soft'] },
  { id: 'C26.change', states: ['none'], flags: ['cut', 'watched'] },
  { id: 'C44', states: ['prime'] },
  { id: 'C31', states: ['white'] },
  { id: 'C32.width', number: '6.75', unit: 'um', flags: ['micro'] },
  { id: 'C35.clamps', states: ['present'], flags: ['micro'] },
  { id: 'C35.cystidia', states: ['absent'], flags: ['micro'] },
];
const kFlags = { dug: /dug out/, cut: /It was cut/, micro: /microscope/, watched: /5 minutes/ };
const textOf = (each) => `${each.id}=${each.number ? `${each.number} ${each.unit}` : each.states.join('|')}${(each.flags ?? []).map((flag) => `@${flag === 'watched' ? 300 : flag}`).join('')}`;
const seenWords = (list) => list.flatMap((each) => ['--seen', textOf(each)]);
const kAll = [{ id: 'C01', states: ['false-ridges'] }, ...kYellowfoot];

const idle = (page) => page.waitForFunction(() => ![...document.querySelectorAll('button.main')].some((each) => each.disabled));
const standing = (page) => page.locator('[data-field="standing"]').innerText();

async function openCharacter(page, id) {
  await page.getByRole('searchbox').fill(id);
  const row = page.locator(`[data-character="${id}"]`);
  if (!(await row.locator('form').count())) await row.getByRole('button').first().click();
  return row.locator('form');
}

async function readCharacter(page, { id, states = [], number, unit, flags = [] }) {
  const form = await openCharacter(page, id);
  for (const state of states) await form.locator(`[data-state="${state}"]`).click();
  if (number) {
    await form.getByLabel(/^Number/).fill(number);
    if (unit) await form.getByLabel('Unit').selectOption(unit);
  }
  for (const flag of flags) await form.getByLabel(kFlags[flag]).check();
  await form.getByRole('button', { name: /^(Keep this|Replace the) reading$/ }).click();
  await page.locator(`[data-reading="${id}"]`).waitFor();
  await idle(page);
}

async function judge(page, name) {
  await page.getByLabel(/^Name to judge/).fill(name);
  await page.getByRole('button', { name: 'Judge it' }).click();
  await idle(page);
}

/** Undefeated dangers stand before the gate, the gate before the names, "none of these" after every name. */
async function keepsItsOrder(page) {
  const places = await page.evaluate(() => ['.standing', '.dangers', '#gate-title', '#names-title', '[data-name="none"]'].map((each) => document.querySelector(each).getBoundingClientRect().top));
  assert.deepEqual(places, [...places].sort((a, b) => a - b));
  assert.equal(await page.locator('[data-name]').last().getAttribute('data-name'), 'none');
}

/** Nothing of the key's own is green, and no percentage has a word of the kitchen beside it. */
async function temptsNobody(page) {
  const green = await page.evaluate(() => {
    const found = [];
    for (const each of document.querySelectorAll('main *')) {
      const style = getComputedStyle(each);
      for (const colour of [style.color, style.backgroundColor, style.borderTopColor, style.fill, style.stroke]) {
        const parts = /^rgba?\((\d+), (\d+), (\d+)/.exec(colour)?.slice(1).map(Number);
        if (parts && parts[1] > parts[0] + 24 && parts[1] > parts[2] + 24) found.push(`${each.tagName} ${colour}`);
      }
    }
    return found;
  });
  assert.deepEqual(green, []);
  const lines = await page.locator('[data-name]').allInnerTexts();
  assert.ok(lines.some((line) => line.includes('%')));
  for (const line of lines) assert.doesNotMatch(line, /edible|\beat|food|dish|tasty|choice|delicious|\bsafe/i);
}

for (const [width, height] of [[1280, 900], [390, 844]]) {
  const context = await browser.newContext({ viewport: { width, height }, timezoneId: 'Pacific/Auckland', locale: 'en-GB' });
  const page = await context.newPage();
  const faults = [];
  watch(page, faults, server.origin);

  await test(`${width} px: with nothing read every danger of the region is undefeated`, async () => {
    await page.goto(server.url);
    await page.locator('nav').getByRole('link', { name: /^Key/ }).click();
    await page.locator('[data-standing]').waitFor({ timeout: 60_000 });
    const given = command('key', '--ground', command('ground', 'list').grounds[0].name, '--date', today);
    assert.equal(await page.locator('[data-standing]').getAttribute('data-standing'), 'unresolved');
    assert.deepEqual(await page.locator('[data-danger]').evaluateAll((all) => all.map((each) => each.dataset.danger).sort()), given.undefeated.map((each) => each.id).sort());
    for (const danger of given.undefeated.filter((each) => each.deadly)) assert.ok((await page.locator('.dangers').innerText()).includes(danger.vernacular || danger.name), `${danger.id} stands in plain sight`);
    await showsCautions(page, given.cautions);
    await keepsItsOrder(page);
    await fitsTheScreen(page, width);
    await keep(page, `key-begin-${width}`);
  });

  await test(`${width} px: a name that nobody knows is told at the name`, async () => {
    await judge(page, 'yellowfoott of nowhere');
    const told = await page.getByRole('form', { name: 'Where, when, what name' }).getByRole('alert').innerText();
    assert.match(told, /yellowfoott of nowhere/);
    await judge(page, 'funnel chanterelle');
    assert.match(await page.locator('[data-standing]').innerText(), /E14 Craterellus tubaeformis/);
    assert.equal(await page.locator('main').getByText(/is Craterellus tubaeformis/).count(), 1);
  });

  await test(`${width} px: what to look at next opens that character`, async () => {
    const first = page.locator('[data-next]').first();
    const id = await first.getAttribute('data-next');
    assert.match(await first.innerText(), /would (settle|part|speak)/);
    await first.getByRole('button').click();
    const control = page.locator(`[data-control="${id}"]`);
    await control.waitFor();
    await page.waitForFunction((each) => { const box = document.querySelector(`[data-character="${each}"]`).getBoundingClientRect(); return box.top >= 0 && box.top < innerHeight / 2; }, id);
    await fitsTheScreen(page, width);
    await keep(page, `key-open-${width}`);
  });

  await test(`${width} px: two states are unsure and said so; the next reading replaces them`, async () => {
    const form = await openCharacter(page, 'C01');
    await form.locator('[data-state="false-ridges"]').click();
    await form.locator('[data-state="blade-gills"]').click();
    assert.match(await form.getByRole('status').innerText(), /Unsure: false ridges or blade gills/);
    await form.getByRole('button', { name: 'Keep this reading' }).click();
    const reading = page.locator('[data-reading="C01"]');
    await reading.waitFor();
    assert.match(await reading.innerText(), /unsure/);
    await idle(page);
    assert.ok(await page.locator('[data-danger="X09"]').getByText(/underside.*read as unsure/).count(), 'an unsure reading is said at the double');
    const again = await openCharacter(page, 'C01');
    await again.locator('[data-state="blade-gills"]').focus();
    await page.keyboard.press('Space');
    assert.equal(await again.locator('[data-state="blade-gills"]').getAttribute('aria-pressed'), 'false', 'the keyboard turns a state');
    await again.getByRole('button', { name: 'Replace the reading' }).click();
    await page.waitForFunction(() => !/unsure/.test(document.querySelector('[data-reading="C01"]').textContent));
    assert.equal(await page.locator('[data-reading]').count(), 1);
  });

  await test(`${width} px: what cannot apply is greyed with its reason; what was not seen is no reading`, async () => {
    await page.getByRole('searchbox').fill('C02');
    const pores = page.locator('[data-character="C02"]');
    assert.ok(await pores.getByRole('button').isDisabled());
    assert.match(await pores.innerText(), /Does not apply: underside .* false ridges/);
    const form = await openCharacter(page, 'C22');
    await form.getByRole('button', { name: 'Keep this reading' }).click();
    assert.match(await form.getByRole('alert').innerText(), /Choose what you see/);
    assert.equal(await page.locator('[data-reading]').count(), 1);
  });

  await test(`${width} px: a number outside its limits is refused in words and not kept; cm and mm are the same`, async () => {
    const form = await openCharacter(page, 'C11');
    await form.getByLabel(/^Number/).fill('9000');
    await form.getByLabel('Unit').selectOption('cm');
    await form.getByRole('button', { name: 'Keep this reading' }).click();
    assert.match(await form.getByRole('alert').innerText(), /outside 2 to 1000 mm/);
    assert.equal(await page.locator('[data-reading="C11"]').count(), 0);
    await form.getByLabel(/^Number/).fill('3,5');
    await form.getByRole('button', { name: 'Keep this reading' }).click();
    await page.locator('[data-reading="C11"]').waitFor();
    assert.match(await page.locator('[data-reading="C11"]').innerText(), /35 mm/);
    await idle(page);
    await page.getByRole('button', { name: 'Take back cap diameter' }).click();
    await page.locator('[data-reading="C11"]').waitFor({ state: 'detached' });
  });

  await test(`${width} px: no change counts only when it was watched, and the page says so`, async () => {
    const form = await openCharacter(page, 'C26.change');
    await form.locator('[data-state="none"]').click();
    assert.match(await form.getByRole('status').innerText(), /only when watched for five minutes/);
    await form.getByLabel(kFlags.watched).check();
    assert.equal(await form.getByRole('status').count(), 0);
  });

  await test(`${width} px: a yellowfoot, read character by character, ends with its doubles contradicted`, async () => {
    let left = await page.locator('[data-danger]').count();
    for (const each of kYellowfoot) {
      assert.notEqual(await standing(page), 'doubles contradicted', `before ${each.id}`);
      if (each.id === 'C26.change') await openCharacter(page, 'C44');  // what was begun above is dropped, not kept
      await readCharacter(page, each);
    }
    await page.getByRole('searchbox').fill('');
    const now = await page.locator('[data-danger]').count();
    assert.ok(now < left, `${left} dangers, then ${now}`);
    const given = command('key', '--ground', command('ground', 'list').grounds[0].name, '--date', today, '--name', 'E14', ...seenWords(kAll));
    assert.equal(given.standing, 'doubles contradicted');
    assert.equal(await page.locator('[data-standing]').getAttribute('data-standing'), given.standing);
    assert.equal(now, 0);
    assert.equal(await page.locator('[data-defeated]').count(), given.defeated.length);
    assert.equal(await page.locator('[data-must]').count(), given.must_see.length);
    assert.equal(await page.getByText('as the name has it').count(), given.must_see.length);
    assert.match(await page.getByRole('navigation', { name: 'Within the key' }).innerText(), /doubles contradicted\s+0 dangers/);
    const words = await page.locator('[data-standing]').innerText();
    assert.match(words, /No second person has confirmed/);
    assert.match(words, /Others may exist/);
    await showsCautions(page, given.cautions);
    await keepsItsOrder(page);
    await temptsNobody(page);
    await fitsTheScreen(page, width);
    await keep(page, `key-contradicted-${width}`);
  });

  await test(`${width} px: one contrary reading opens it all again and is shown as a clash or a danger`, async () => {
    const form = await openCharacter(page, 'C31');
    await form.locator('[data-state="white"]').click();
    await form.locator('[data-state="rust"]').click();
    await form.getByRole('button', { name: 'Replace the reading' }).click();
    await page.waitForFunction(() => document.querySelector('[data-standing]').dataset.standing === 'unresolved');
    assert.equal(await page.locator('[data-danger]').first().getAttribute('data-danger'), 'X09', 'the listed double stands first');
    assert.match(await page.locator('[data-danger="X09"]').innerText(), /For it, or unsure/);
    const given = command('key', '--ground', command('ground', 'list').grounds[0].name, '--date', today, '--name', 'E14', ...seenWords(kAll.map((each) => (each.id === 'C31' ? { ...each, states: ['rust'] } : each))));
    assert.equal(await page.locator('[data-clash]').count(), given.clashes.length);
    await keep(page, `key-contrary-${width}`);
  });

  await test(`${width} px: a double that nothing settles stays, with the reason`, async () => {
    await page.getByRole('button', { name: 'Another body' }).click();
    await page.waitForFunction(() => document.querySelectorAll('[data-reading]').length === 0);
    await page.getByLabel('Region').selectOption('EU');
    await judge(page, 'penny bun');
    await readCharacter(page, { id: 'C01', states: ['pores'] });
    const given = command('key', '--region', 'EU', '--date', today, '--name', 'penny bun', '--seen', 'C01=pores');
    const blocked = given.undefeated.filter((each) => each.blocked);
    assert.ok(blocked.length > 0, 'the profile blocks no pair any more: choose another name here');
    for (const danger of blocked) {
      const card = page.locator(`[data-danger="${danger.id}"]`);
      assert.match(await card.innerText(), /stays shut/);
      assert.ok((await card.innerText()).includes(danger.syndrome_name));
    }
    await temptsNobody(page);
    await fitsTheScreen(page, width);
    await keep(page, `key-stays-${width}`);
  });

  await test(`${width} px: a region that the book does not cover says so`, async () => {
    await page.getByLabel('Region').selectOption('AU');
    await page.getByText(/does not know the dangers of Australia/).waitFor();
    assert.match(await page.getByRole('form', { name: 'Where, when, what name' }).innerText(), /Not covered/);
    await page.getByLabel('Region').selectOption('EU');
    await page.getByText(/does not know the dangers of Australia/).waitFor({ state: 'detached' });
  });

  let id = 0;
  await test(`${width} px: a piece keeps its readings and their history`, async () => {
    await page.getByRole('button', { name: 'Pieces' }).click();
    await page.getByRole('form', { name: 'Add a piece' }).waitFor();
    await page.getByRole('button', { name: 'Add', exact: true }).click();
    assert.match(await page.getByRole('alert').filter({ visible: true }).innerText(), /who found it/);
    await page.getByLabel(/^Who found it/).fill('Ann');
    await page.getByLabel(/^What the finder thinks/).fill('yellowfoot');
    await page.getByRole('button', { name: 'Add', exact: true }).click();
    id = Number(/piece (\d+)/.exec(await page.getByText(/^Added: piece/).innerText())[1]);
    await fitsTheScreen(page, width);
    await page.locator(`[data-piece="${id}"]`).getByRole('button').click();
    await page.locator(`[data-open-piece="${id}"]`).waitFor();
    await idle(page);
    await readCharacter(page, { id: 'C01', states: ['blade-gills'] });
    await page.getByRole('button', { name: /^Take back underside/ }).click();
    await page.locator('[data-reading="C01"]').waitFor({ state: 'detached' });
    await readCharacter(page, { id: 'C01', states: ['false-ridges'] });
    const given = command('piece', 'show', String(id));
    assert.deepEqual(given.history.map((each) => [each.text, each.by, each.withdrawn_at !== null]), [['C01=blade-gills', 'Ann', true], ['C01=false-ridges', 'Ann', false]]);
    await page.getByText('1 taken back or replaced').waitFor();
    await openCharacter(page, 'C31');
    await page.getByRole('button', { name: 'It is lying: remind me' }).click();
    await page.getByText(/^Waiting: spore-print colour, due/).waitFor();
  });

  const confirm = async (name, from = 'hand') => {
    const form = page.getByRole('form', { name: 'Confirm the piece' });
    if (!(await form.isVisible())) await page.getByText("Another person's word").click();
    await form.getByLabel('Name of the other person').fill(name);
    await form.getByLabel('What they had').selectOption(from);
    await form.getByRole('button', { name: 'Write the word down' }).click();
    return form;
  };
  await test(`${width} px: the finder and a shut gate are refused in words; a photo opens nothing`, async () => {
    assert.match(await (await confirm(' ann ')).getByRole('alert').innerText(), /cannot confirm/);
    assert.match(await (await confirm('Tomas')).getByRole('alert').innerText(), /nothing to confirm.*X09 Cortinarius rubellus/);
    await keep(page, `piece-refused-${width}`);
    await (await confirm('Tomas', 'photo')).getByText('Written down.').waitFor();
    assert.match(await page.locator('[data-confirmation]').innerText(), /Tomas .*kept, opens nothing/);
    assert.notEqual(await page.locator('[data-standing]').getAttribute('data-standing'), 'confirmed');
  });

  await test(`${width} px: another person's word with the whole piece in hand confirms that one piece`, async () => {
    command('key', '--piece', String(id), ...seenWords(kYellowfoot));
    await page.getByRole('button', { name: 'Pieces' }).click();
    await page.locator(`[data-piece="${id}"]`).getByText('doubles contradicted').waitFor();
    await page.locator(`[data-piece="${id}"]`).getByRole('button').click();
    await page.locator('[data-standing="doubles contradicted"]').waitFor();
    await confirm('Tomas');
    await page.locator('[data-standing="confirmed"]').waitFor();
    assert.match(await page.locator('[data-standing]').innerText(), /Confirmed by Tomas on \d{4}-\d{2}-\d{2}/);
    await fitsTheScreen(page, width);
    await keep(page, `piece-confirmed-${width}`);
    await page.getByRole('button', { name: 'Pieces' }).click();
    const pieces = command('piece', 'list').pieces;
    await page.getByText(`${pieces.filter((each) => each.standing === 'confirmed').length} of ${pieces.length} confirmed.`).waitFor();
    await fitsTheScreen(page, width);
    await keep(page, `pieces-${width}`);
  });

  await test(`${width} px: no fault, no broken rule of the policy, nothing asked outside`, () => {
    // What the server refuses is written into the console by the browser itself.
    assert.deepEqual(faults.filter((each) => !/status of (400|404|422)/.test(each)), []);
  });
  await context.close();
}

await browser.close();
await test('the server ends', async () => assert.deepEqual(await server.stop(), { code: 0, signal: null }));
close();
