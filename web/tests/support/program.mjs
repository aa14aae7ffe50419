// What the two scripts share: the built program, a demo book, a server that is ended again, and the count of what passed.
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import http from 'node:http';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../../..');
export const program = process.env.STUMPWISE_PROGRAM ?? path.join(root, 'build/release/stumpwise');
/** The day that counts as today: inside the demo's weather, so that days before it are measured and days after are not. */
export const today = '2026-05-12';
const scratch = mkdtempSync(path.join(tmpdir(), 'stumpwise-page-'));
process.on('exit', () => rmSync(scratch, { recursive: true, force: true }));

export const scratchFile = (name) => path.join(scratch, name);

if (!existsSync(program)) {
  console.error(`${program} is not built; run ./dev build, or name it in STUMPWISE_PROGRAM.`);
  process.exit(1);
}

function findBook(folder) {
  const found = readdirSync(folder, { recursive: true }).map(String).filter((each) => each.endsWith('.gpkg'));
  if (found.length !== 1) throw new Error(`${folder} holds ${found.length} books`);
  return path.join(folder, found[0]);
}

function makeBook() {
  if (process.env.STUMPWISE_TEST_BOOK) return process.env.STUMPWISE_TEST_BOOK;
  const folder = scratchFile('demo');
  execFileSync(program, ['demo', folder], { stdio: ['ignore', 'ignore', 'inherit'] });
  return findBook(folder);
}
export const book = makeBook();
export const environment = { ...process.env, STUMPWISE_BOOK: book, STUMPWISE_TODAY: today };

/** Runs a command and gives its JSON. */
export function command(...words) {
  return JSON.parse(execFileSync(program, [...words, '--json'], { env: environment, encoding: 'utf8', maxBuffer: 1 << 28 }));
}

/** Starts `serve` on a free port and waits for its address. */
export function startServer() {
  const child = spawn(program, ['serve', '--port', '0'], { env: environment, stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = new Promise((resolve) => child.on('exit', (code, signal) => resolve({ code, signal })));
  process.on('exit', () => child.kill('SIGKILL'));
  return new Promise((resolve, reject) => {
    let text = '';
    const timer = setTimeout(() => reject(new Error(`serve printed no address: ${text}`)), 60_000);
    child.on('exit', () => reject(new Error(`serve ended at once: ${text}`)));
    child.stdout.on('data', (bytes) => {
      text += bytes;
      const found = /http:\/\/127\.0\.0\.1:(\d+)\/#token=([0-9a-f]+)/.exec(text);
      if (!found) return;
      clearTimeout(timer);
      resolve({
        child, url: found[0], port: Number(found[1]), token: found[2], origin: `http://127.0.0.1:${found[1]}`,
        stop: () => {
          child.kill('SIGINT');
          return Promise.race([ended, new Promise((slow) => setTimeout(() => slow({ code: null, signal: 'too slow' }), 10_000))]);
        },
      });
    });
  });
}

/** One request with exactly these headers: fetch() would not let a test forge Host or Origin. */
export function ask(server, { method = 'GET', path: where, headers = {}, body, token = true }) {
  const all = { Host: `127.0.0.1:${server.port}`, ...(token ? { 'X-Stumpwise-Token': server.token } : {}), ...headers };
  if (body !== undefined && !('Content-Length' in all) && !('Transfer-Encoding' in all)) all['Content-Length'] = Buffer.byteLength(body);
  return new Promise((resolve, reject) => {
    const request = http.request({ host: '127.0.0.1', port: server.port, method, path: where, headers: all, setHost: false, agent: false }, (response) => {
      const parts = [];
      response.on('data', (part) => parts.push(part));
      response.on('end', () => {
        const bytes = Buffer.concat(parts);
        resolve({ status: response.statusCode, headers: response.headers, bytes, text: bytes.toString('utf8'), json: () => JSON.parse(bytes.toString('utf8')) });
      });
      response.on('error', reject);
    });
    request.on('error', reject);
    request.end(body);
  });
}

export const postJson = (server, where, value, headers = {}) =>
  ask(server, { method: 'POST', path: where, headers: { 'Content-Type': 'application/json', ...headers }, body: JSON.stringify(value) });

/** The same text for the same value: keys in order, no blanks. */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (value && typeof value === 'object') {
    return `{${Object.keys(value).sort().map((key) => `${JSON.stringify(key)}:${canonical(value[key])}`).join(',')}}`;
  }
  return JSON.stringify(value);
}

/** Where two values differ first, for a person. */
export function firstDifference(a, b, at = '') {
  if (canonical(a) === canonical(b)) return '';
  if (a && b && typeof a === 'object' && typeof b === 'object') {
    for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) {
      const found = firstDifference(a[key], b[key], `${at}/${key}`);
      if (found) return found;
    }
  }
  return `${at}: page ${canonical(a)?.slice(0, 200)}, command ${canonical(b)?.slice(0, 200)}`;
}

const count = { passed: 0, failed: 0, skipped: 0 };
export async function test(name, body) {
  try {
    await body();
    count.passed += 1;
    console.log(`ok       ${name}`);
  } catch (error) {
    count.failed += 1;
    console.log(`FAILED   ${name}\n         ${String(error?.stack ?? error).split('\n').slice(0, 6).join('\n         ')}`);
  }
}
export function skip(name, why) {
  count.skipped += 1;
  console.log(`skipped  ${name}: ${why}`);
}
export function close() {
  console.log(`${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`);
  process.exit(count.failed > 0 || count.passed === 0 ? 1 : 0);
}

/** A start from which a walk of these hours exists, looked for around the middle of the ground. */
export async function findStart(server, ground, request) {
  const tried = [];
  for (const north of [0, 0.12, -0.12, 0.25, -0.25]) {
    for (const east of [0, 0.12, -0.12, 0.25, -0.25]) {
      const start = {
        lat: Number(((ground.south + ground.north) / 2 + north * (ground.north - ground.south)).toFixed(5)),
        lon: Number(((ground.west + ground.east) / 2 + east * (ground.east - ground.west)).toFixed(5)),
      };
      const answer = await postJson(server, '/api/v1/plan', { ...request, start });
      if (answer.status === 200) return start;
      tried.push(`${answer.status} ${answer.text.slice(0, 160)}`);
      if (answer.status !== 422) throw new Error(tried.at(-1));
    }
  }
  throw new Error(`no start works: ${tried[0]}`);
}
