import type { components } from '../api.gen';
import { token } from './token';

type Schemas = components['schemas'];
export type Status = Schemas['Status'];
export type Ground = Schemas['GroundSummary'];
export type SpeciesList = Schemas['SpeciesList'];
export type SpeciesSummary = Schemas['SpeciesSummary'];
export type Outlook = Schemas['Outlook'];
export type OutlookSpecies = Schemas['OutlookSpecies'];
export type OutlookDay = Schemas['OutlookDay'];
export type Prospect = Schemas['Prospect'];
export type Plan = Schemas['Plan'];
export type PlanRequest = Schemas['PlanRequest'];
export type Stop = Schemas['Stop'];
export type Caution = Schemas['Caution'];
export type Vocabulary = Schemas['Vocabulary'];
export type Character = Schemas['Character'];
export type Region = Schemas['Region'];
export type KeyRequest = Schemas['KeyRequest'];
export type KeyAnswer = Schemas['KeyAnswer'];
export type Danger = Schemas['Danger'];
export type Advice = Schemas['Advice'];
export type Reading = Schemas['Reading'];
export type Piece = Schemas['Piece'];
export type PieceAnswer = Schemas['PieceAnswer'];

/** What went wrong, in the server's words, with how to mend it. */
export class Failure extends Error {
  constructor(readonly code: string, message: string, readonly mend: string) {
    super(message);
  }
}

async function failureOf(response: Response): Promise<Failure> {
  try {
    const { error } = (await response.json()) as Schemas['Failure'];
    return new Failure(error.code, error.message, error.mend);
  } catch {
    return new Failure('no_answer', `The server answered ${response.status} without words.`, 'Look at the terminal where it runs.');
  }
}

async function call(path: string, init: RequestInit = {}): Promise<Response> {
  const headers = new Headers(init.headers);
  headers.set('X-Stumpwise-Token', token());
  let response: Response;
  try {
    response = await fetch(path, { ...init, headers });
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new Failure('no_server', 'The server does not answer.', 'Start it again with `stumpwise serve` and open the address that it prints.');
  }
  if (!response.ok) throw await failureOf(response);
  return response;
}

type Query = Record<string, string | number | string[] | undefined>;

/** Only what is given goes into the address; a list becomes one `key=value` each. */
export function withQuery(path: string, query: Query): string {
  const words = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) {
    if (value === undefined || value === '') continue;
    for (const each of Array.isArray(value) ? value : [String(value)]) words.append(key, each);
  }
  const text = words.toString();
  return text ? `${path}?${text}` : path;
}

async function get<T>(path: string, query: Query = {}, signal?: AbortSignal): Promise<T> {
  return (await (await call(withQuery(path, query), signal ? { signal } : {})).json()) as T;
}

const post = (path: string, request: object) =>
  call(path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(request) });

export const status = () => get<Status>('/api/v1/status');
export const species = () => get<SpeciesList>('/api/v1/species');
export const outlook = (query: { ground?: string; species?: string[]; from?: string; days?: number; lat?: number; lon?: number }) =>
  get<Outlook>('/api/v1/outlook', query);
export const prospect = (query: { ground?: string; species: string; date?: string }, signal?: AbortSignal) =>
  get<Prospect>('/api/v1/prospect', query, signal);
export const plan = async (request: PlanRequest) => (await (await post('/api/v1/plan', request)).json()) as Plan;

export const characters = () => get<Vocabulary>('/api/v1/characters');
export const key = async (request: KeyRequest) => (await (await post('/api/v1/key', request)).json()) as KeyAnswer;
export const pieces = () => get<Schemas['PieceList']>('/api/v1/pieces');
export const pieceAdd = async (request: Schemas['PieceAddRequest']) => (await (await post('/api/v1/pieces', request)).json()) as Schemas['PieceAdded'];
export const piece = (id: number) => get<PieceAnswer>(`/api/v1/pieces/${id}`);
export const pieceConfirm = async (id: number, request: Schemas['ConfirmRequest']) =>
  (await (await post(`/api/v1/pieces/${id}/confirm`, request)).json()) as PieceAnswer;

export async function picture(name: 'hillshade' | 'prospect', query: Query, signal?: AbortSignal): Promise<ImageBitmap> {
  const response = await call(withQuery(`/api/v1/map/${name}.png`, query), signal ? { signal } : {});
  return createImageBitmap(await response.blob());
}

/** The file that the server names, with its name. */
export async function planGpx(request: PlanRequest): Promise<{ blob: Blob; name: string }> {
  const response = await post('/api/v1/plan.gpx', request);
  const named = /filename="([^"]+)"/.exec(response.headers.get('Content-Disposition') ?? '');
  return { blob: await response.blob(), name: named?.[1] ?? 'walk.gpx' };
}

/** The address at which a browser window finds the printable sheet. */
export async function planSheet(request: PlanRequest): Promise<string> {
  const response = await post('/api/v1/plan.html', request);
  const address = response.headers.get('Content-Location') ?? '';
  if (!/^\/sheets\/[0-9a-f]{32}$/.test(address)) throw new Failure('no_answer', 'The server named no address for the sheet.', '');
  return address;
}
