// The key as the page offers it: characters by how each is observed, readings as the contract writes them
// ("C20=one-hollow@cut"), and the words around the gate. No judgement is made here: that is the program's alone.
import type { Character, Danger, KeyRequest, Region } from './api';

export interface Step {
  id: string;
  name: string;
  says: string;
}
/** In the order in which a person can do them, the quickest first. */
export const kSteps: Step[] = [
  { id: 'G', name: 'See at a glance', says: 'without touching more than you must' },
  { id: 'H', name: 'Handle or cut', says: 'turn over, measure, nick, cut lengthwise' },
  { id: 'B', name: 'Dig', says: 'the whole base, before it is cut' },
  { id: 'P', name: 'Wait for', says: 'a print on half white, half black card, overnight' },
  { id: 'R', name: 'Reagent', says: 'gloves on, never on a food surface' },
  { id: 'M', name: 'Microscope', says: 'spores from a print, at least twenty' },
];

/** Several ways stand in `how`: what needs the most counts, but a thing that can be seen at once stands under the glance. */
export function stepOf(character: Pick<Character, 'how'>): string {
  const ways = character.how.split(/\s+/);
  for (const way of ['M', 'R', 'P', 'B', 'G']) if (ways.includes(way)) return way;
  return 'H';
}

const kDateAlone = 'C45';
const kTaste = 'C30';

export function words(state: string): string {
  return state.replaceAll('-', ' ');
}

/** Characters of each step that has any, kept in the vocabulary's order; those that the search leaves. */
export function grouped(characters: Character[], search: string): { step: Step; characters: Character[] }[] {
  const wanted = search.toLowerCase().split(/\s+/).filter((word) => word !== '');
  const fits = (each: Character) => {
    const text = [each.id, each.name, each.action, ...each.states.map(words)].join(' ').toLowerCase();
    return wanted.every((word) => text.includes(word));
  };
  return kSteps
    .map((step) => ({ step, characters: characters.filter((each) => each.id !== kDateAlone && stepOf(each) === step.id && fits(each)) }))
    .filter((each) => each.characters.length > 0);
}

/** What a reading says beside its state. */
export type Flag = 'dug' | 'cut' | 'micro' | 'watched';
export const kFlags: Record<Flag, string> = {
  dug: 'The base was dug out',
  cut: 'It was cut',
  micro: 'Under the microscope',
  watched: 'Watched for 5 minutes',
};
export const kWatchedSeconds = 300;

/** The flags that change what a reading of this character is worth, or that a reader will want to know. */
export function flagsOf(character: Character): Flag[] {
  const list: Flag[] = [];
  const base = ['C19', 'C20', 'C23', 'C51'].includes(character.id);
  if (base || character.group === 'SU' || character.how.includes('B')) list.push('dug');
  if (character.group === 'SU' || character.id === 'C20' || /\b(cut|halve)\b/i.test(character.action)) list.push('cut');
  if (character.how.includes('M')) list.push('micro');
  if (character.timed.length > 0) list.push('watched');
  return list;
}

const kUnits: Record<string, string[]> = {
  mm: ['mm', 'cm', 'in'], um: ['um'], '/mm': ['/mm', '/cm'], '/cm': ['/cm', '/mm', '/in'], s: ['s', 'min'], d: ['d'],
};
export const unitsOf = (unit: string): string[] => kUnits[unit] ?? [];
const kUnitWords: Record<string, string> = { um: 'µm', in: 'inch', '/mm': 'per mm', '/cm': 'per cm', '/in': 'per inch', s: 'seconds', min: 'minutes', '1': '' };
export const unitWords = (unit: string): string => kUnitWords[unit] ?? unit;

/** What is being entered for one character. */
export interface Draft {
  states: string[];
  number: string;
  unit: string;
  flags: Flag[];
}

export const emptyDraft = (character: Character): Draft => ({ states: [], number: '', unit: character.limits?.unit === '1' ? '' : (character.limits?.unit ?? ''), flags: [] });

/** The text that the server reads, or why there is none yet. */
export function readingText(character: Character, draft: Draft): { text: string } | { fault: string } {
  let value = draft.states.join('|');
  if (character.limits) {
    const number = draft.number.trim().replaceAll(',', '.');
    if (!/^\d+(\.\d+)?(\s*-\s*\d+(\.\d+)?)?$/.test(number)) return { fault: 'A number is needed, or two with a dash between.' };
    value = draft.unit ? `${number} ${draft.unit}` : number;
  } else if (draft.states.length === 0) {
    return { fault: 'Choose what you see. What you have not looked at is left alone.' };
  }
  const how = draft.flags.map((flag) => (flag === 'watched' ? `@${kWatchedSeconds}` : `@${flag}`)).join('');
  return { text: `${character.id}=${value}${how}` };
}

/** A reading as the book has it, taken apart again. */
export function draftOf(text: string, character: Character): Draft {
  const [value = '', ...how] = text.slice(text.indexOf('=') + 1).split('@');
  const flags: Flag[] = how.map((each): Flag => (/^\d/.test(each) ? 'watched' : (each as Flag)));
  const draft = { ...emptyDraft(character), flags };
  if (!character.limits) return { ...draft, states: value.split('|') };
  const found = /^([\d.\s-]+)(.*)$/.exec(value.trim());
  return { ...draft, number: found?.[1]?.trim() ?? '', unit: found?.[2]?.trim() || draft.unit };
}

/** "one hollow or stuffed (unsure); cut". */
export function readingWords(text: string, character: Character | undefined): string {
  if (!character) return text;
  const draft = draftOf(text, character);
  const value = character.limits ? `${draft.number.replace('-', ' to ')} ${unitWords(draft.unit)}`.trim() : draft.states.map(words).join(' or ');
  const unsure = draft.states.length > 1 ? ' (unsure)' : '';
  const how = text.split('@').slice(1).map((each) => (/^\d/.test(each) ? `watched ${Number(each)} s` : each === 'micro' ? 'under the microscope' : each));
  return value + unsure + (how.length > 0 ? `; ${how.join(', ')}` : '');
}

/** Why a character is not offered now; empty where it is. */
export function lockedBy(character: Character, readings: Map<string, string>, byId: Map<string, Character>, experience: string): string {
  if (character.id === kTaste && experience !== 'expert') return 'Off: only for experienced people, of a few groups, never of an unknown piece. Choose "expert" to switch it on.';
  const text = character.needs ? readings.get(character.needs) : undefined;
  const needed = byId.get(character.needs);
  if (text === undefined || !needed) return '';
  const states = draftOf(text, needed).states;
  if (states.some((state) => character.needs_states.includes(state))) return '';
  return `Does not apply: ${needed.name} was read as ${states.map(words).join(' or ')}.`;
}

/** Listed doubles and deadly ones are told in full, the rest is counted. */
export function dangersBy(undefeated: Danger[]): { full: Danger[]; rest: Danger[] } {
  return { full: undefeated.filter((each) => each.listed || each.deadly), rest: undefeated.filter((each) => !each.listed && !each.deadly) };
}

/** Whether the same readings are against several dangers and the same reasons keep them: said once then. */
export function sameEvidence(dangers: Danger[]): boolean {
  const evidence = (each: Danger) => JSON.stringify([each.contradicted_by, each.against, each.reasons]);
  return dangers.length > 1 && dangers.every((each) => each.against.length === 0 && evidence(each) === evidence(dangers[0]!));
}

export const nameOf = (id: string, byId: Map<string, Character>): string => byId.get(id)?.name ?? id;

/** A reason of the gate with characters by their names: "C10: no change counts only ..." */
export function reasonWords(reason: string, byId: Map<string, Character>): string {
  return reason.replace(/\bC\d\d(?:\.[a-z0-9]+)?\b/g, (id) => nameOf(id, byId)).replace(/\.$/, '');
}

const kStandings: Record<string, string> = {
  unresolved: 'It could still be something dangerous, or nothing can be named yet.',
  candidate: 'A name fits what was read. The dangers below are not contradicted.',
  'doubles contradicted': 'Every danger that the book knows of this region is contradicted by what was read. Others may exist. No second person has confirmed this piece.',
  confirmed: 'Another named person has confirmed this one piece with the whole of it in hand. It says nothing of any other.',
};
export const standingWords = (standing: string): string => kStandings[standing] ?? '';

export interface KeyForm {
  region: string; // 'ground', a code, or '' for not known
  ground: string;
  date: string;
  name: string;
  experience: string;
  by: string;
  piece: number;
}
export interface Change {
  seen?: string[];
  taken_back?: string[];
  begun?: string[];
}

/** Only what was given; a piece brings its own region. */
export function keyRequest(form: KeyForm, change: Change): KeyRequest {
  const request: KeyRequest = { experience: form.experience as NonNullable<KeyRequest['experience']> };
  if (form.region === 'ground' && form.ground) request.ground = form.ground;
  else if (form.region && form.region !== 'ground' && form.region !== 'piece') request.region = form.region;
  if (form.date) request.date = form.date;
  if (form.name.trim()) request.name = form.name.trim();
  if (form.by.trim()) request.by = form.by.trim();
  if (form.piece) request.piece = form.piece;
  if (change.seen?.length) request.seen = change.seen;
  if (change.taken_back?.length) request.taken_back = change.taken_back;
  if (change.begun?.length) request.begun = change.begun;
  return request;
}

/** "EU+NA-E" with the regions' names. */
export function regionWords(code: string, regions: Region[]): string {
  return code.split('+').map((each) => regions.find((row) => row.code === each)?.name ?? each).join(' and ');
}

/** The readings with one more; a second of one character replaces the first. */
export function withReading(readings: string[], text: string): string[] {
  const id = text.split('=')[0];
  return [...readings.filter((each) => each.split('=')[0] !== id), text];
}
