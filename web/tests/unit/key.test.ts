import { describe, expect, it } from 'vitest';
import type { Character, Danger } from '../../src/lib/api';
import {
  dangersBy, draftOf, emptyDraft, flagsOf, grouped, keyRequest, kSteps, lockedBy, readingText, readingWords, reasonWords, regionWords, sameEvidence, standingWords, stepOf, unitsOf, withReading, type KeyForm,
} from '../../src/lib/key';

function character(id: string, more: Partial<Character> = {}): Character {
  return { id, name: `name of ${id}`, group: 'HY', states: [], limits: null, timed: [], minutes: 1, how: 'G', action: 'Look', note: '', needs: '', needs_states: [], ...more };
}
const underside = character('C01', { name: 'underside', states: ['blade-gills', 'false-ridges', 'pores'], how: 'G H', action: 'Turn it over' });
const poreCount = character('C02', { name: 'pores per mm', limits: { min: 0.3, max: 9, unit: '/mm' }, how: 'H', needs: 'C01', needs_states: ['pores'] });
const bruise = character('C10', { name: 'bruising', group: 'FL', states: ['none', 'blue'], timed: ['none'], how: 'H', action: 'Rub it and watch' });
const base = character('C23', { name: 'volva and base', group: 'ST', states: ['none', 'sac'], how: 'B' });
const print = character('C31', { name: 'print', group: 'SP', states: ['white', 'rust'], how: 'P' });
const spores = character('C32.length', { name: 'spore length', group: 'SP', limits: { min: 2, max: 100, unit: 'um' }, how: 'M' });
const quotient = character('C32.q', { name: 'quotient', group: 'SP', limits: { min: 1, max: 6, unit: '1' }, how: 'M' });
const melzer = character('C34', { group: 'SP', states: ['amyloid'], how: 'M R' });
const substrate = character('C38', { group: 'SU', states: ['soil'], how: 'B' });
const all = [underside, poreCount, bruise, base, print, spores, quotient, melzer, substrate];
const byId = new Map(all.map((each) => [each.id, each]));

describe('characters by what one can do', () => {
  it('stand where they need the most, but what can be seen at once stands under the glance', () => {
    expect(all.map(stepOf)).toEqual(['G', 'H', 'H', 'B', 'P', 'M', 'M', 'M', 'B']);
    expect(stepOf({ how: 'R' })).toBe('R');
    expect(stepOf({ how: 'H B' })).toBe('B');
  });
  it('keep the order of the steps and of the vocabulary, and lose none', () => {
    const groups = grouped(all, '');
    expect(groups.map((each) => each.step.id)).toEqual(['G', 'H', 'B', 'P', 'M']);
    expect(groups.flatMap((each) => each.characters).length).toBe(all.length);
    expect(kSteps.map((each) => each.id)).toEqual(['G', 'H', 'B', 'P', 'R', 'M']);
  });
  it('leave the day of the year to the date', () => {
    expect(grouped([character('C45')], '')).toEqual([]);
  });
  it('are found by name, state and action, all words of the search together', () => {
    const ids = (search: string) => grouped(all, search).flatMap((each) => each.characters.map((c) => c.id));
    expect(ids('false ridges')).toEqual(['C01']);
    expect(ids('RUB watch')).toEqual(['C10']);
    expect(ids('sac')).toEqual(['C23']);
    expect(ids('no such thing')).toEqual([]);
  });
});

describe('what depends on another', () => {
  it('is open while that one is not read, and locked with the reason once it excludes it', () => {
    expect(lockedBy(poreCount, new Map(), byId, 'trained')).toBe('');
    expect(lockedBy(poreCount, new Map([['C01', 'C01=pores']]), byId, 'trained')).toBe('');
    expect(lockedBy(poreCount, new Map([['C01', 'C01=pores|false-ridges']]), byId, 'trained')).toBe('');
    expect(lockedBy(poreCount, new Map([['C01', 'C01=false-ridges']]), byId, 'trained')).toBe('Does not apply: underside was read as false ridges.');
  });
  it('taste is off unless an expert reads', () => {
    expect(lockedBy(character('C30'), new Map(), byId, 'trained')).toMatch(/^Off/);
    expect(lockedBy(character('C30'), new Map(), byId, 'expert')).toBe('');
  });
});

describe('a reading', () => {
  it('of states is written as the contract says, several being unsure', () => {
    expect(readingText(underside, { ...emptyDraft(underside), states: ['false-ridges'] })).toEqual({ text: 'C01=false-ridges' });
    expect(readingText(underside, { ...emptyDraft(underside), states: ['false-ridges', 'blade-gills'] })).toEqual({ text: 'C01=false-ridges|blade-gills' });
    expect(readingWords('C01=false-ridges|blade-gills', underside)).toBe('false ridges or blade gills (unsure)');
  });
  it('says how it was made', () => {
    expect(readingText(bruise, { ...emptyDraft(bruise), states: ['none'], flags: ['cut', 'watched'] })).toEqual({ text: 'C10=none@cut@300' });
    expect(readingWords('C10=none@cut@300', bruise)).toBe('none; cut, watched 300 s');
    expect(readingWords('C23=sac@dug', base)).toBe('sac; dug');
    expect(readingWords('C32.length=9 um@micro', spores)).toBe('9 µm; under the microscope');
  });
  it('of a number has its unit; a bare one none; a comma is a point', () => {
    expect(readingText(poreCount, { ...emptyDraft(poreCount), number: '15', unit: '/cm' })).toEqual({ text: 'C02=15 /cm' });
    expect(readingText(poreCount, { ...emptyDraft(poreCount), number: '1,5-2' })).toEqual({ text: 'C02=1.5-2 /mm' });
    expect(readingText(quotient, { ...emptyDraft(quotient), number: '1.6' })).toEqual({ text: 'C32.q=1.6' });
    expect(unitsOf('mm')).toEqual(['mm', 'cm', 'in']);
    expect(unitsOf('1')).toEqual([]);
  });
  it('of nothing is refused and never taken for an absence', () => {
    expect(readingText(underside, emptyDraft(underside))).toHaveProperty('fault');
    for (const number of ['', 'x', '-3', '3 cm', '1-2-3']) expect(readingText(poreCount, { ...emptyDraft(poreCount), number })).toHaveProperty('fault');
  });
  it('is taken apart as it was put together', () => {
    for (const [text, of] of [['C01=pores|false-ridges', underside], ['C10=none@cut@300', bruise], ['C23=none@dug', base]] as const) {
      expect(readingText(of, draftOf(text, of))).toEqual({ text });
    }
    expect(readingText(spores, draftOf('C32.length=9-11@micro', spores))).toEqual({ text: 'C32.length=9-11 um@micro' });
  });
  it('replaces the one before of the same character only', () => {
    expect(withReading(['C01=pores', 'C10=blue'], 'C01=false-ridges')).toEqual(['C10=blue', 'C01=false-ridges']);
    expect(withReading(['C32.q=1.5'], 'C32.length=9 um')).toEqual(['C32.q=1.5', 'C32.length=9 um']);
  });
});

describe('how it was read is asked where it matters', () => {
  it('dug at the base and of the substrate, watched where no change must be timed, micro under the microscope', () => {
    expect(flagsOf(base)).toEqual(['dug']);
    expect(flagsOf(substrate)).toEqual(['dug', 'cut']);
    expect(flagsOf(bruise)).toEqual(['watched']);
    expect(flagsOf(spores)).toEqual(['micro']);
    expect(flagsOf(print)).toEqual([]);
    expect(flagsOf(character('C20', { group: 'ST', how: 'H' }))).toEqual(['dug', 'cut']);
  });
});

describe('dangers', () => {
  const danger = (id: string, listed: boolean, deadly: boolean, reasons = ['a']): Danger => ({
    id, name: id, vernacular: '', syndrome: 'GI', syndrome_name: 'gut', deadly, severity: '', missing: [], llr: 0, listed, blocked: false, contradicted_by: ['C01'], groups: [], against: [], reasons,
  });
  it('that are listed or deadly are told in full, the rest is counted, none is lost', () => {
    const parts = dangersBy([danger('X1', true, false), danger('X2', false, true), danger('X3', false, false)]);
    expect(parts.full.map((each) => each.id)).toEqual(['X1', 'X2']);
    expect(parts.rest.map((each) => each.id)).toEqual(['X3']);
  });
  it('are told together only where all the evidence is the same', () => {
    expect(sameEvidence([danger('X1', false, true), danger('X2', false, true)])).toBe(true);
    expect(sameEvidence([danger('X1', false, true), danger('X2', false, true, ['b'])])).toBe(false);
    expect(sameEvidence([danger('X1', false, true)])).toBe(false);
  });
  it('have reasons with the names of characters', () => {
    expect(reasonWords('C10: no change counts only on a fresh body: read its age, C31 (G4)', byId)).toBe('bruising: no change counts only on a fresh body: read its age, print (G4)');
    expect(reasonWords('stays shut (G8): the pair overlaps.', byId)).toBe('stays shut (G8): the pair overlaps');
    expect(reasonWords('not observed: C32.length, C99 (G7)', byId)).toBe('not observed: spore length, C99 (G7)');
  });
});

describe('the request of the key', () => {
  const form: KeyForm = { region: 'ground', ground: 'vale', date: '2026-10-12', name: ' yellowfoot ', experience: 'trained', by: '', piece: 0 };
  it('says what was given and nothing else', () => {
    expect(keyRequest(form, { seen: ['C01=pores'] })).toEqual({ experience: 'trained', ground: 'vale', date: '2026-10-12', name: 'yellowfoot', seen: ['C01=pores'] });
    expect(keyRequest({ ...form, region: '', name: '', date: '' }, {})).toEqual({ experience: 'trained' });
  });
  it('leaves a piece its own region', () => {
    expect(keyRequest({ ...form, region: 'piece', piece: 3, name: '', by: 'Ann' }, { taken_back: ['C01'] })).toEqual({ experience: 'trained', date: '2026-10-12', by: 'Ann', piece: 3, taken_back: ['C01'] });
  });
  it('names a region by its code', () => {
    expect(keyRequest({ ...form, region: 'EU', name: '' }, {})).toEqual({ experience: 'trained', region: 'EU', date: '2026-10-12' });
    expect(regionWords('EU+XX', [{ code: 'EU', name: 'temperate Europe', dangers_covered: true, note: '' }])).toBe('temperate Europe and XX');
  });
});

describe('standings', () => {
  it('have words that clear nothing', () => {
    for (const standing of ['unresolved', 'candidate', 'doubles contradicted', 'confirmed']) {
      expect(standingWords(standing).length).toBeGreaterThan(20);
      expect(standingWords(standing)).not.toMatch(/\bsafe|edible|\beat/i);
    }
  });
});
