import { describe, expect, it } from 'vitest';
import { withQuery } from '../../src/lib/api';
import { axisEnd, barOf } from '../../src/lib/bar';
import { planRequest, type PlanForm } from '../../src/lib/request';
import { tokenFromHash } from '../../src/lib/token';

const form: PlanForm = {
  ground: 'vale', start: '42.0123, -30.0045', end: '', date: '2026-05-12', depart: '09:00', hours: 4, days: 1, buffer: 45, factor: 1.25, alternatives: 0, species: [],
};

describe('the request of a plan', () => {
  it('says what the form says', () => {
    expect(planRequest(form)).toEqual({
      request: {
        ground: 'vale', start: { lat: 42.0123, lon: -30.0045 }, hours: 4, date: '2026-05-12', depart: '09:00', days: 1, buffer_min: 45, factor: 1.25, species: [], alternatives: 0,
      },
    });
  });
  it('names another end only where one is given', () => {
    expect(planRequest({ ...form, end: '42.02 -30' })).toHaveProperty('request.end', { lat: 42.02, lon: -30 });
  });
  it('tells every fault at once', () => {
    const answer = planRequest({ ...form, start: '', end: 'x', depart: '25:00', date: '', hours: 0, buffer: -1, days: 31, factor: 0.5, alternatives: 9 });
    expect('faults' in answer && answer.faults.map((each) => each.split(':')[0])).toEqual(['Start', 'End', 'Leave at', 'Day', 'Hours', 'Days to rank', 'Buffer', 'Way back times', 'Other walks']);
  });
  it('refuses an emptied number', () => {
    expect(planRequest({ ...form, hours: null })).toEqual({ faults: ['Hours: 0.25 to 24 hours.'] });
  });
});

describe('addresses', () => {
  it('leave out what was not given and repeat lists', () => {
    expect(withQuery('/a', { ground: '', species: ['E01', 'O22'], days: 3, from: undefined })).toBe('/a?species=E01&species=O22&days=3');
    expect(withQuery('/a', {})).toBe('/a');
    expect(withQuery('/a', { lat: 0, name: 'ä b&c' })).toBe('/a?lat=0&name=%C3%A4+b%26c');
  });
});

describe('the token', () => {
  it('is taken from behind the # and from nowhere else', () => {
    expect(tokenFromHash('#token=' + '0a'.repeat(32))).toBe('0a'.repeat(32));
    expect(tokenFromHash('#/plan')).toBeNull();
    expect(tokenFromHash('#token=<script>')).toBeNull();
    expect(tokenFromHash('#token=' + '0a'.repeat(32) + '&x')).toBeNull();
  });
});

describe('bars', () => {
  it('stand where their numbers are', () => {
    expect(barOf(0.5, 0.25, 0.75, 1, 200)).toEqual({ left: 50, width: 100, tick: 100 });
    expect(barOf(3, -1, 9, 2, 100)).toEqual({ left: 0, width: 100, tick: 100 });
    expect(barOf(0, 0, 0, 0, 100)).toEqual({ left: 0, width: 0, tick: 0 });
  });
  it('have an axis that ends at 1, 2 or 5', () => {
    expect([0, 0.03, 0.2, 1, 1.01, 4.9, 7.8, 200].map(axisEnd)).toEqual([1, 0.05, 0.2, 1, 2, 5, 10, 200]);
  });
});
