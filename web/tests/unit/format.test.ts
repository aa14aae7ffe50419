import { describe, expect, it } from 'vitest';
import { basis, bearing, clock, day, finds, group, index, likeness, metres, minutes, parsePlace, place, plusDays, share, zoneOf } from '../../src/lib/format';

describe('clock times stay those of the ground', () => {
  it('are cut out of the text, whatever zone the browser is in', () => {
    expect(clock('2026-10-18T16:24:31-01:00')).toBe('16:24');
    expect(clock('2026-10-18T00:05:00+13:45')).toBe('00:05');
    expect(clock('')).toBe('--:--');
  });
  it('name their offset', () => {
    expect(zoneOf('2026-10-18T16:24:31-01:00')).toBe('UTC-01:00');
    expect(zoneOf('2026-10-18T16:24:31Z')).toBe('UTC');
  });
});

describe('days', () => {
  it('carry their weekday', () => {
    expect(day('2026-05-12')).toBe('Tue 12 May');
    expect(day('2024-02-29', true)).toBe('Thu 29 Feb 2024');
    expect(day('soon')).toBe('soon');
  });
  it('are counted over the ends of months and years', () => {
    expect(plusDays('2026-12-30', 3)).toBe('2027-01-02');
    expect(plusDays('2024-02-28', 1)).toBe('2024-02-29');
  });
});

describe('quantities', () => {
  it('likeness is never said to be all', () => {
    expect([1, 0.995, 0.9, 0.004, 0].map(likeness)).toEqual(['over 99 %', 'over 99 %', '90 %', 'under 1 %', '0 %']);
  });
  it('minutes', () => {
    expect(minutes(44.5)).toBe('45 min');
    expect(minutes(59.6)).toBe('1 h');
    expect(minutes(238)).toBe('3 h 58 min');
    expect(minutes(0)).toBe('0 min');
  });
  it('metres', () => {
    expect(metres(849.6)).toBe('850 m');
    expect(metres(999.4)).toBe('999 m');
    expect(metres(999.6)).toBe('1.0 km');
    expect(metres(3060)).toBe('3.1 km');
  });
  it('finds: little is never shown as nothing', () => {
    expect(finds(0)).toBe('0');
    expect(finds(0.004)).toBe('under 0.01');
    expect(finds(0.123)).toBe('0.12');
    expect(finds(2.31)).toBe('2.3');
    expect(finds(31.4)).toBe('31');
  });
  it('index and share', () => {
    expect(index(0.6149)).toBe('0.61');
    expect(share(0.034)).toBe('3 %');
    expect(share(0.002)).toBe('under 1 %');
    expect(share(0)).toBe('0 %');
  });
  it('bearings', () => {
    expect(bearing(224)).toBe('224° SW');
    expect(bearing(359.8)).toBe('0° N');
    expect(bearing(-90)).toBe('270° W');
  });
});

describe('places', () => {
  it('are read with comma, semicolon or blank', () => {
    expect(parsePlace(' 42.0123, -30.0045 ')).toEqual({ lat: 42.0123, lon: -30.0045 });
    expect(parsePlace('42;-30')).toEqual({ lat: 42, lon: -30 });
    expect(parsePlace('42 -30.5')).toEqual({ lat: 42, lon: -30.5 });
  });
  it('are refused in words', () => {
    expect(parsePlace('42')).toHaveProperty('fault');
    expect(parsePlace('95, 10')).toEqual({ fault: '"95" is no latitude from -90 to 90.' });
    expect(parsePlace('42, 181')).toEqual({ fault: '"181" is no longitude from -180 to 180.' });
    expect(parsePlace('42N, 30W')).toHaveProperty('fault');
    expect(parsePlace('1e1, 2')).toHaveProperty('fault');
  });
  it('come back as they were written', () => {
    expect(parsePlace(place(42.012345678, -30.004))).toEqual({ lat: 42.01235, lon: -30.004 });
  });
});

describe('words', () => {
  it('say what the weather rests on', () => {
    expect(['observed', 'forecast', 'ensemble'].map(basis)).toEqual(['measured', 'your forecast', 'past years']);
  });
  it('of a group never call anything fit to eat', () => {
    for (const each of ['edible', 'conditional', 'harmless', 'dangerous']) expect(group(each)).not.toMatch(/\b(safe|edible|eat)/i);
    expect(group('dangerous')).toMatch(/^DANGEROUS/);
  });
});
