import type { PlanRequest } from './api';
import { parsePlace } from './format';

/** The form of a plan as it stands on the page, all text. */
export interface PlanForm {
  ground: string;
  start: string;
  end: string;
  date: string;
  depart: string;
  hours: number | null;
  days: number | null;
  buffer: number | null;
  factor: number | null;
  alternatives: number | null;
  species: string[];
}

/** The request that the server is asked, or every fault of the form, each with its field. */
export function planRequest(form: PlanForm): { request: PlanRequest } | { faults: string[] } {
  const faults: string[] = [];
  const start = parsePlace(form.start);
  if ('fault' in start) faults.push(`Start: ${form.start.trim() ? start.fault : 'Click the map or type latitude, longitude.'}`);
  const end = form.end.trim() ? parsePlace(form.end) : null;
  if (end && 'fault' in end) faults.push(`End: ${end.fault}`);
  if (!/^([01]?\d|2[0-3]):[0-5]\d$/.test(form.depart)) faults.push('Leave at: a clock time is needed (HH:MM).');
  if (!/^\d{4}-\d{2}-\d{2}$/.test(form.date)) faults.push('Day: a date is needed.');
  const inside = (name: string, value: number | null, low: number, high: number, unit: string) => {
    if (value === null || !(value >= low && value <= high)) faults.push(`${name}: ${low} to ${high} ${unit}.`);
  };
  inside('Hours', form.hours, 0.25, 24, 'hours');
  inside('Days to rank', form.days, 1, 30, 'days');
  inside('Buffer', form.buffer, 0, 600, 'minutes');
  inside('Way back times', form.factor, 1, 5, 'times');
  inside('Other walks', form.alternatives, 0, 5, 'walks');
  if (faults.length > 0 || 'fault' in start || (end && 'fault' in end)) return { faults };
  const request: PlanRequest = {
    ground: form.ground,
    start,
    hours: form.hours!,
    date: form.date,
    depart: form.depart,
    days: form.days!,
    buffer_min: form.buffer!,
    factor: form.factor!,
    species: form.species,
    alternatives: form.alternatives!,
  };
  if (end) request.end = end;
  return { request };
}
