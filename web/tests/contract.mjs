// The server against api/openapi.yaml and against the commands: every answer has the shape that the contract says and is, key by
// key, what the command prints with --json. A path or a key that one side has and the other has not fails.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import net from 'node:net';
import { networkInterfaces } from 'node:os';
import path from 'node:path';
import Ajv from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { parse } from 'yaml';
import { contractOfTheKey } from './contract_key.mjs';
import { ask, book, canonical, close, command, environment, findStart, firstDifference, postJson, program, root, scratchFile, skip, startServer, test, today } from './support/program.mjs';

const contract = parse(readFileSync(path.join(root, 'api/openapi.yaml'), 'utf8'));
const ajv = new Ajv.default({ strict: true, strictRequired: false, allErrors: true });
addFormats.default(ajv);
ajv.addFormat('binary', true);
ajv.addVocabulary(['components', 'openapi', 'info', 'servers', 'security', 'paths']);
ajv.addSchema({ ...contract, $id: 'contract' });

const checked = new Set();
const pointer = (text) => text.replace(/~/g, '~0').replace(/\//g, '~1');

/** Fails with every fault of the answer against the schema that the contract names for this call. */
function meets(name, method, answer) {
  const operation = contract.paths[name]?.[method];
  assert.ok(operation, `${method} ${name} is not in the contract`);
  const type = (answer.headers['content-type'] ?? '').split(';')[0];
  if (answer.status !== 200) {
    assert.equal(type, 'application/json');
    const validate = ajv.getSchema('contract#/components/schemas/Failure');
    assert.ok(validate(answer.json()), ajv.errorsText(validate.errors));
    return;
  }
  checked.add(`${method} ${name}`);
  assert.ok(operation.responses['200'].content[type], `${method} ${name} answered ${type}`);
  for (const [header, rule] of Object.entries(operation.responses['200'].headers ?? {})) {
    const value = answer.headers[header.toLowerCase()];
    assert.ok(value, `no header ${header}`);
    if (rule.schema.pattern) assert.match(value, new RegExp(rule.schema.pattern));
  }
  if (type !== 'application/json') return;
  const validate = ajv.getSchema(`contract#/paths/${pointer(name)}/${method}/responses/200/content/application~1json/schema`);
  const json = answer.json();
  assert.ok(validate(json), ajv.errorsText(validate.errors, { separator: '\n         ' }));
}

function equals(answer, given) {
  const mine = answer.json();
  assert.equal(canonical(mine), canonical(given), firstDifference(mine, given));
}

const server = await startServer();
const get = (where) => ask(server, { path: where });
const status = (await get('/api/v1/status')).json();
const ground = status.grounds?.[0];
assert.ok(ground, 'the demo book holds a ground');
const plan = { ground: ground.name, hours: 4, date: today, depart: '09:00', days: 1, buffer_min: 45, factor: 1.25, species: ['E01', 'O22'], alternatives: 0 };

await test('status meets the contract and names no folder', async () => {
  const answer = await get('/api/v1/status');
  assert.equal(answer.status, 200);
  meets('/api/v1/status', 'get', answer);
  assert.equal(answer.json().today, today);
  assert.equal(answer.json().book, path.basename(book));
  assert.equal(answer.json().invented, true, 'the demo is invented and must say so');
  assert.ok(answer.json().grounds.every((each) => each.invented));
});

await test('the grounds of status are those of `ground list`', async () => {
  const mine = (await get('/api/v1/status')).json().grounds;
  const given = command('ground', 'list').grounds;
  assert.equal(mine.length, given.length);
  mine.forEach((each, i) => {
    for (const key of Object.keys(each)) assert.equal(canonical(each[key]), canonical(given[i][key]), key);
  });
});

await test('species equal `species list`', async () => {
  const answer = await get('/api/v1/species');
  assert.equal(answer.status, 200);
  meets('/api/v1/species', 'get', answer);
  equals(answer, command('species', 'list'));
  assert.ok(answer.json().species.length >= 3);
});

for (const { id } of (await get('/api/v1/species')).json().species ?? []) {
  await test(`species ${id} equals \`species show\``, async () => {
    const answer = await get(`/api/v1/species/${id}`);
    assert.equal(answer.status, 200);
    meets('/api/v1/species/{name}', 'get', answer);
    equals(answer, command('species', 'show', id));
  });
}

await test('a species is found by a name with blanks', async () => {
  const { name } = (await get('/api/v1/species')).json().species[0];
  const answer = await get(`/api/v1/species/${encodeURIComponent(name)}`);
  assert.equal(answer.status, 200, answer.text);
  equals(answer, command('species', 'show', name));
});

await test('outlook of all species equals the command', async () => {
  const answer = await get('/api/v1/outlook');
  assert.equal(answer.status, 200, answer.text);
  meets('/api/v1/outlook', 'get', answer);
  equals(answer, command('outlook'));
  for (const each of answer.json().species) {
    assert.equal(each.days.length, 10);
    assert.ok(each.days.every((d) => d.low90 <= d.index && d.index <= d.high90), `${each.id}: a number outside its band`);
  }
});

await test('outlook with every word of the contract equals the command', async () => {
  const lat = ((ground.south + ground.north) / 2).toFixed(4);
  const lon = ((ground.west + ground.east) / 2).toFixed(4);
  const answer = await get(`/api/v1/outlook?ground=${ground.name}&species=E01&species=X04&from=2026-05-10&days=5&lat=${lat}&lon=${lon}`);
  assert.equal(answer.status, 200, answer.text);
  meets('/api/v1/outlook', 'get', answer);
  equals(answer, command('outlook', '--ground', ground.name, '--species', 'E01', '--species', 'X04', '--from', '2026-05-10', '--days', '5', '--at', `${lat},${lon}`));
  assert.deepEqual(new Set(answer.json().species.map((each) => each.id)), new Set(['E01', 'X04']));
});

await test('prospect equals the command', async () => {
  const answer = await get(`/api/v1/prospect?ground=${ground.name}&species=E01&date=${today}`);
  assert.equal(answer.status, 200, answer.text);
  meets('/api/v1/prospect', 'get', answer);
  const { out, file, ...given } = command('prospect', '--ground', ground.name, '--species', 'E01', '--date', today, '--out', scratchFile('prospect.tif'));
  equals(answer, given);
  assert.ok(answer.json().cells > 0);
});

for (const [name, query] of [['hillshade', `?ground=${ground.name}`], ['prospect', `?ground=${ground.name}&species=E01&date=${today}`]]) {
  await test(`the picture of the ${name} lies on the ground's cells`, async () => {
    const answer = await get(`/api/v1/map/${name}.png${query}`);
    assert.equal(answer.status, 200, answer.text.slice(0, 200));
    meets(`/api/v1/map/${name}.png`, 'get', answer);
    assert.equal(answer.bytes.subarray(1, 4).toString('latin1'), 'PNG');
    assert.equal(answer.bytes.readUInt32BE(16), ground.cols);
    assert.equal(answer.bytes.readUInt32BE(20), ground.rows);
  });
}

const start = await findStart(server, ground, plan);
const words = ['plan', '--ground', ground.name, '--start', `${start.lat},${start.lon}`, '--hours', '4', '--date', today, '--depart', '09:00', '--buffer', '45', '--factor', '1.25', '--species', 'E01', '--species', 'O22'];

await test('plan equals the command', async () => {
  const answer = await postJson(server, '/api/v1/plan', { ...plan, start });
  assert.equal(answer.status, 200, answer.text);
  meets('/api/v1/plan', 'post', answer);
  equals(answer, command(...words));
  const json = answer.json();
  assert.ok(json.stops.length > 0 && json.legs.length === json.stops.length + 1);
  for (const stop of json.stops) assert.ok(Date.parse(stop.leave_by) <= Date.parse(stop.turn_back), `stop ${stop.number} is left after its turn-back time`);
});

await test('plan with days ranked and other walks equals the command', async () => {
  const answer = await postJson(server, '/api/v1/plan', { ...plan, start, days: 3, alternatives: 1 });
  assert.equal(answer.status, 200, answer.text);
  meets('/api/v1/plan', 'post', answer);
  equals(answer, command(...words, '--days', '3', '--alternatives', '1'));
  const finds = answer.json().days.map((each) => each.median_finds);
  assert.deepEqual(finds, [...finds].sort((a, b) => b - a), 'days are not ranked');
});

await test('GPX and sheet are the files of the command', async () => {
  const gpx = await postJson(server, '/api/v1/plan.gpx', { ...plan, start });
  const sheet = await postJson(server, '/api/v1/plan.html', { ...plan, start });
  assert.equal(gpx.status, 200, gpx.text.slice(0, 200));
  assert.equal(sheet.status, 200, sheet.text.slice(0, 200));
  meets('/api/v1/plan.gpx', 'post', gpx);
  meets('/api/v1/plan.html', 'post', sheet);
  assert.match(gpx.headers['content-disposition'], /^attachment; filename="walk-\d{4}-\d{2}-\d{2}\.gpx"$/);
  const files = { gpx: scratchFile('walk.gpx'), sheet: scratchFile('walk.html') };
  execFileSync(program, [...words, '--gpx', files.gpx, '--sheet', files.sheet, '--json'], { env: environment, stdio: ['ignore', 'ignore', 'inherit'] });
  assert.equal(gpx.text, readFileSync(files.gpx, 'utf8'));
  assert.equal(sheet.text, readFileSync(files.sheet, 'utf8'));
  const shown = await ask(server, { path: sheet.headers['content-location'], token: false });
  assert.equal(shown.text, sheet.text);
  assert.match(shown.headers['content-security-policy'], /default-src 'none'/);
  assert.doesNotMatch(shown.headers['content-security-policy'], /script-src/);
  assert.equal((await ask(server, { path: '/sheets/' + '0'.repeat(32), token: false })).status, 404);
});

const faults = [
  ['an unknown species', 'get', '/api/v1/species/{name}', '/api/v1/species/no-such-thing', 404],
  ['an unknown ground', 'get', '/api/v1/outlook', '/api/v1/outlook?ground=nowhere', 404],
  ['days that are no number', 'get', '/api/v1/outlook', '/api/v1/outlook?days=many', 400],
  ['no days at all', 'get', '/api/v1/outlook', '/api/v1/outlook?days=0', 400],
  ['a day that does not exist', 'get', '/api/v1/outlook', '/api/v1/outlook?from=2026-02-31', 400],
  ['half a place', 'get', '/api/v1/outlook', '/api/v1/outlook?lat=42', 400],
  ['a word that nobody knows', 'get', '/api/v1/outlook', '/api/v1/outlook?colour=red', 400],
  ['a word given twice', 'get', '/api/v1/outlook', '/api/v1/outlook?days=3&days=4', 400],
  ['a prospect of nothing', 'get', '/api/v1/prospect', '/api/v1/prospect', 400],
];
for (const [what, method, name, where, wanted] of faults) {
  await test(`${what} is refused with ${wanted}`, async () => {
    const answer = await get(where);
    assert.equal(answer.status, wanted, answer.text);
    meets(name, method, answer);
  });
}

const badPlans = [
  ['no start', { hours: 4 }, 400],
  ['a start that is text', { start: '42,-30', hours: 4 }, 400],
  ['an unknown field', { start, hours: 4, speed: 3 }, 400],
  ['a start outside the ground', { start: { lat: ground.south - 1, lon: ground.west }, hours: 4, date: today }, 422],
  ['hours of zero', { start, hours: 0, date: today }, 400],
  ['leaving after sunset', { start, hours: 2, date: today, depart: '23:30' }, 422],
];
for (const [what, request, wanted] of badPlans) {
  await test(`a plan with ${what} is refused with ${wanted}`, async () => {
    const answer = await postJson(server, '/api/v1/plan', request);
    assert.equal(answer.status, wanted, answer.text);
    meets('/api/v1/plan', 'post', answer);
    assert.ok(!answer.text.includes(path.dirname(book) + '/'), 'a folder of this machine is named');
  });
}
await test('a body that is no JSON is refused', async () => {
  const answer = await ask(server, { method: 'POST', path: '/api/v1/plan', headers: { 'Content-Type': 'application/json' }, body: '{"start":' });
  assert.equal(answer.status, 400);
  meets('/api/v1/plan', 'post', answer);
});

await contractOfTheKey({ server, get, meets, equals, ground });

// Who may ask
const json = { 'Content-Type': 'application/json' };
const own = { Origin: `http://127.0.0.1:${server.port}` };
const body = JSON.stringify({ ...plan, start });
const locks = [
  ['no token', { path: '/api/v1/status', token: false }, 401],
  ['another token', { path: '/api/v1/status', headers: { 'X-Stumpwise-Token': '0'.repeat(64) } }, 401],
  ['the token in the address', { path: `/api/v1/status?token=${server.token}`, token: false }, 401],
  ['a foreign Host', { path: '/api/v1/status', headers: { Host: `evil.example:${server.port}` } }, 403],
  ['a foreign Host for the page itself', { path: '/', headers: { Host: `evil.example:${server.port}` } }, 403],
  ['the right Host with another port', { path: '/api/v1/status', headers: { Host: '127.0.0.1:1' } }, 403],
  ['no Host', { path: '/api/v1/status', headers: { Host: '' } }, 403],
  ['a Host that only begins like ours', { path: '/api/v1/status', headers: { Host: `127.0.0.1.evil.example:${server.port}` } }, 403],
  ['a foreign Origin', { path: '/api/v1/plan', method: 'POST', headers: { ...json, Origin: 'http://evil.example' }, body }, 403],
  ['an Origin of null', { path: '/api/v1/plan', method: 'POST', headers: { ...json, Origin: 'null' }, body }, 403],
  ['an Origin of another port', { path: '/api/v1/plan', method: 'POST', headers: { ...json, Origin: 'http://127.0.0.1:1' }, body }, 403],
  ['an Origin with https', { path: '/api/v1/plan', method: 'POST', headers: { ...json, Origin: `https://127.0.0.1:${server.port}` }, body }, 403],
  ['a cross-site fetch', { path: '/api/v1/status', headers: { 'Sec-Fetch-Site': 'cross-site' } }, 403],
  ['a browser that hides its Origin', { path: '/api/v1/plan', method: 'POST', headers: { ...json, 'Sec-Fetch-Site': 'same-origin' }, body }, 403],
  ['a foreign Origin that reads a fruit body', { path: '/api/v1/key', method: 'POST', headers: { ...json, Origin: 'http://evil.example' }, body: '{}' }, 403],
  ['a foreign Origin that confirms', { path: '/api/v1/pieces/1/confirm', method: 'POST', headers: { ...json, Origin: 'http://evil.example' }, body: '{"by":"Eve"}' }, 403],
  ['a word without the token', { path: '/api/v1/pieces/1/confirm', method: 'POST', headers: json, token: false, body: '{"by":"Eve"}' }, 401],
  ['GET for the key', { path: '/api/v1/key' }, 405],
  ['GET for a word', { path: '/api/v1/pieces/1/confirm' }, 405],
  ['POST for one piece', { path: '/api/v1/pieces/1', method: 'POST', headers: json, body: '{}' }, 405],
  ['a piece that is no number', { path: '/api/v1/pieces/one' }, 404],
  ['a piece of too many digits', { path: '/api/v1/pieces/99999999999999999999' }, 404],
  ['a piece below zero', { path: '/api/v1/pieces/-1' }, 404],
  ['words behind a piece', { path: '/api/v1/pieces/1?by=Eve' }, 400],
  ['a path under a piece', { path: '/api/v1/pieces/1/override' }, 404],
  ['a form', { path: '/api/v1/plan', method: 'POST', headers: { ...own, 'Content-Type': 'application/x-www-form-urlencoded' }, body: 'a=b' }, 415],
  ['plain text', { path: '/api/v1/plan', method: 'POST', headers: { ...own, 'Content-Type': 'text/plain' }, body }, 415],
  ['a packed body', { path: '/api/v1/plan', method: 'POST', headers: { ...json, 'Content-Encoding': 'gzip' }, body }, 415],
  ['a body too large', { path: '/api/v1/plan', method: 'POST', headers: json, body: JSON.stringify({ ground: 'x'.repeat(70_000) }) }, 413],
  ['GET for a plan', { path: '/api/v1/plan' }, 405],
  ['another method', { path: '/api/v1/status', method: 'DELETE' }, 405],
  ['a preflight', { path: '/api/v1/plan', method: 'OPTIONS', token: false, headers: { Origin: 'http://evil.example', 'Access-Control-Request-Method': 'POST' } }, 403],
  ['a path that does not exist', { path: '/api/v1/nothing' }, 404],
  ['a path that climbs', { path: '/../../etc/passwd' }, 404],
  ['a path as long as an address may be', { path: '/' + 'a'.repeat(8000) }, 404],
];
for (const [what, call, wanted] of locks) {
  await test(`refused with ${wanted}: ${what}`, async () => {
    const answer = await ask(server, call);
    assert.equal(answer.status, wanted, answer.text);
    assert.ok(!('access-control-allow-origin' in answer.headers));
    assert.match(answer.json().error.code, /^[a-z_]+$/);
  });
}
await test('names of this machine are let in', async () => {
  for (const host of [`localhost:${server.port}`, `LOCALHOST:${server.port}`, `[::1]:${server.port}`]) {
    const answer = await ask(server, { path: '/api/v1/status', headers: { Host: host } });
    assert.equal(answer.status, 200, host);
  }
  assert.equal((await postJson(server, '/api/v1/plan', { ...plan, start }, { ...own, 'Sec-Fetch-Site': 'same-origin' })).status, 200);
});

await test('the page comes with its policy', async () => {
  const answer = await ask(server, { path: '/', token: false });
  assert.equal(answer.status, 200, 'the page was not built: npm run build, then build the program');
  const policy = answer.headers['content-security-policy'];
  for (const rule of ["default-src 'none'", "script-src 'self'", "connect-src 'self'", "frame-ancestors 'none'", "base-uri 'none'"]) assert.ok(policy.includes(rule), rule);
  assert.ok(!policy.includes('unsafe'));
  assert.equal(answer.headers['x-content-type-options'], 'nosniff');
  assert.equal(answer.headers['referrer-policy'], 'no-referrer');
  const script = /src="(\/assets\/[^"]+\.js)"/.exec(answer.text)[1];
  const code = await ask(server, { path: script, token: false });
  assert.equal(code.status, 200);
  assert.match(code.headers['content-type'], /javascript/);
});

const outside = Object.values(networkInterfaces()).flat().find((each) => each.family === 'IPv4' && !each.internal);
if (outside) {
  await test('nothing listens on the network', () =>
    new Promise((resolve, reject) => {
      const socket = net.connect(server.port, outside.address);
      socket.on('connect', () => reject(new Error(`${outside.address} answers`)));
      socket.on('error', resolve);
    }));
} else {
  skip('nothing listens on the network', 'this machine has no address but loopback');
}

await test('sixteen idle connections do not stop the next request for long', async () => {
  const idle = Array.from({ length: 16 }, () => net.connect(server.port, '127.0.0.1'));
  const begun = Date.now();
  assert.equal((await get('/api/v1/status')).status, 200);
  assert.ok(Date.now() - begun < 8000, `${Date.now() - begun} ms`);
  for (const each of idle) each.destroy();
});

await test('every path of the contract was asked', () => {
  const all = Object.entries(contract.paths).flatMap(([name, methods]) => Object.keys(methods).map((method) => `${method} ${name}`));
  assert.deepEqual(all.filter((each) => !checked.has(each)), []);
});

await test('Ctrl-C ends the server with exit status 0', async () => {
  assert.deepEqual(await server.stop(), { code: 0, signal: null });
});

close();
