// The key and the pieces against the contract and the commands; a part of contract.mjs, which counts the paths that were asked.
import assert from 'node:assert/strict';
import path from 'node:path';
import { book, command, postJson, test, today } from './support/program.mjs';

/** Moments are those of the asking: they are left out of the comparison. */
const timeless = (value) => JSON.parse(JSON.stringify(value, (name, each) => (['at', 'withdrawn_at', 'started', 'due', 'done_at', 'confirmed_at'].includes(name) && typeof each === 'string' ? 'a moment' : each)));
const seen = ['C01=false-ridges', 'C20=one-hollow@cut', 'C11=3.5 cm', 'C07=forked|veined-between'];
const seenWords = seen.flatMap((each) => ['--seen', each]);

export async function contractOfTheKey({ server, get, meets, equals, ground }) {
  await test('characters have what a face needs to offer them', async () => {
    const answer = await get('/api/v1/characters');
    assert.equal(answer.status, 200, answer.text);
    meets('/api/v1/characters', 'get', answer);
    const { characters, regions } = answer.json();
    const ids = new Set(characters.map((each) => each.id));
    assert.equal(ids.size, characters.length, 'a character twice');
    for (const each of characters) {
      assert.ok((each.limits === null) === each.states.length > 0, `${each.id} is neither states nor a number`);
      assert.match(each.how, /^[GHBPRM]( [GHBPRM])*$/, each.id);
      assert.ok(each.needs === '' || ids.has(each.needs), `${each.id} needs ${each.needs}`);
      assert.ok(each.timed.every((state) => each.states.includes(state)), each.id);
    }
    assert.ok(regions.some((each) => each.dangers_covered) && regions.some((each) => !each.dangers_covered));
  });

  await test('the key equals the command', async () => {
    const request = { region: 'EU', date: today, name: 'yellowfoot', seen, experience: 'novice', by: 'Ann' };
    const answer = await postJson(server, '/api/v1/key', request);
    assert.equal(answer.status, 200, answer.text);
    meets('/api/v1/key', 'post', answer);
    equals({ json: () => timeless(answer.json()) }, timeless(command('key', '--region', 'EU', '--date', today, '--name', 'yellowfoot', ...seenWords, '--experience', 'novice', '--by', 'Ann')));
    assert.equal(answer.json().undefeated[0].listed, true, 'a listed double stands first');
  });

  await test('the key without anything equals the command and clears nothing', async () => {
    const answer = await postJson(server, '/api/v1/key', {});
    assert.equal(answer.status, 200, answer.text);
    meets('/api/v1/key', 'post', answer);
    equals({ json: () => timeless(answer.json()) }, timeless(command('key')));
    assert.equal(answer.json().standing, 'unresolved');
  });

  let piece = 0;
  await test('a piece is added, read, shown and listed as the commands do', async () => {
    const added = await postJson(server, '/api/v1/pieces', { finder: 'Ann', name: 'yellowfoot', region: 'EU', date: today, at: { lat: ground.south, lon: ground.west } });
    assert.equal(added.status, 200, added.text);
    meets('/api/v1/pieces', 'post', added);
    piece = added.json().ids[0];
    for (const change of [{ seen }, { taken_back: ['C20'] }, { begun: ['C31'] }, { seen: ['C01=blade-gills'] }]) {
      const answer = await postJson(server, '/api/v1/key', { piece, ...change });
      assert.equal(answer.status, 200, answer.text);
      meets('/api/v1/key', 'post', answer);
    }
    const shown = await get(`/api/v1/pieces/${piece}`);
    meets('/api/v1/pieces/{id}', 'get', shown);
    equals(shown, command('piece', 'show', String(piece)));
    assert.deepEqual(new Set(shown.json().readings.map((each) => each.character)), new Set(['C01', 'C07', 'C11']));
    assert.equal(shown.json().waits.length, 1);
    const list = await get('/api/v1/pieces');
    meets('/api/v1/pieces', 'get', list);
    equals(list, command('piece', 'list'));
  });

  await test('a word from a photo is kept and opens nothing', async () => {
    const answer = await postJson(server, `/api/v1/pieces/${piece}/confirm`, { by: 'Tomas', from: 'photo', note: 'sent by post' });
    assert.equal(answer.status, 200, answer.text);
    meets('/api/v1/pieces/{id}/confirm', 'post', answer);
    assert.notEqual(answer.json().standing, 'confirmed');
    assert.deepEqual(answer.json().confirmations.map((each) => each.counts), [false]);
  });

  const badKeys = [
    ['a character that is none', '/api/v1/key', 'key', { seen: ['C99=white'] }, 422],
    ['a state that is none', '/api/v1/key', 'key', { seen: ['C01=gillish'] }, 422],
    ['a number outside its limits', '/api/v1/key', 'key', { seen: ['C11=9 m'] }, 422],
    ['a name that nobody knows', '/api/v1/key', 'key', { name: 'no such thing at all' }, 404],
    ['a region that is none', '/api/v1/key', 'key', { region: 'MOON' }, 422],
    ['a day that does not exist', '/api/v1/key', 'key', { date: '2026-02-31' }, 400],
    ['experience that is none', '/api/v1/key', 'key', { experience: 'wizard' }, 400],
    ['readings that are no list', '/api/v1/key', 'key', { seen: 'C01=pores' }, 400],
    ['a field that nobody knows', '/api/v1/key', 'key', { override: true }, 400],
    ['taking back without a piece', '/api/v1/key', 'key', { taken_back: ['C01'] }, 400],
    ['a piece that is not there', '/api/v1/key', 'key', { piece: 999999 }, 404],
    ['a body that is a list', '/api/v1/key', 'key', [], 400],
    ['a new piece without its finder', '/api/v1/pieces', 'pieces', { name: 'yellowfoot' }, 400],
    ['a thousand and one pieces', '/api/v1/pieces', 'pieces', { finder: 'Ann', pieces: 1001 }, 400],
    ['a new piece that says it is confirmed', '/api/v1/pieces', 'pieces', { finder: 'Ann', standing: 'confirmed' }, 400],
    ['the finder\'s own word', `/api/v1/pieces/${piece}/confirm`, 'pieces/{id}/confirm', { by: ' ANN ' }, 422],
    ['a word while the gate is shut', `/api/v1/pieces/${piece}/confirm`, 'pieces/{id}/confirm', { by: 'Tomas' }, 422],
    ['nobody\'s word', `/api/v1/pieces/${piece}/confirm`, 'pieces/{id}/confirm', { by: '  ' }, 400],
  ];
  for (const [what, where, name, request, wanted] of badKeys) {
    await test(`${what} is refused with ${wanted}`, async () => {
      const answer = await postJson(server, where, request);
      assert.equal(answer.status, wanted, answer.text);
      meets(`/api/v1/${name}`, 'post', answer);
      assert.ok(answer.json().error.message.length > 10);
      assert.ok(!answer.text.includes(path.dirname(book) + '/'), 'a folder of this machine is named');
    });
  }
  await test('refused words of a key change nothing of a piece', async () => {
    const before = (await get(`/api/v1/pieces/${piece}`)).json();
    assert.equal((await postJson(server, '/api/v1/key', { piece, seen: ['C07=forked', 'C11=9 m'] })).status, 422);
    assert.deepEqual((await get(`/api/v1/pieces/${piece}`)).json(), before);
  });
}
