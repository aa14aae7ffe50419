// Words and numbers as a person reads them. Clock times are cut out of the server's text, never turned into the browser's zone:
// the walk happens in the zone of the ground.

const kMonths = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const kDays = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const kWinds = ['N', 'NNE', 'NE', 'ENE', 'E', 'ESE', 'SE', 'SSE', 'S', 'SSW', 'SW', 'WSW', 'W', 'WNW', 'NW', 'NNW'];

/** "16:24" of an instant with offset. */
export function clock(instant: string): string {
  const found = /^\d{4}-\d{2}-\d{2}T(\d{2}:\d{2})/.exec(instant);
  return found ? found[1]! : '--:--';
}

/** "UTC-01:00" of an instant with offset. */
export function zoneOf(instant: string): string {
  const found = /([+-]\d{2}:\d{2}|Z)$/.exec(instant);
  return found ? (found[1] === 'Z' ? 'UTC' : `UTC${found[1]}`) : '';
}

/** "Tue 12 May" of a day; with the year where asked for. */
export function day(date: string, withYear = false): string {
  const found = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
  if (!found) return date;
  const [, year, month, number] = found;
  const weekday = new Date(Date.UTC(Number(year), Number(month) - 1, Number(number))).getUTCDay();
  return `${kDays[weekday]} ${Number(number)} ${kMonths[Number(month) - 1]}${withYear ? ` ${year}` : ''}`;
}

/** "45 min", "1 h", "1 h 15 min". */
export function minutes(value: number): string {
  const whole = Math.round(value);
  const hours = Math.floor(whole / 60);
  const rest = whole % 60;
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/** "850 m", "3.1 km". */
export function metres(value: number): string {
  return Math.round(value) < 1000 ? `${Math.round(value)} m` : `${(value / 1000).toFixed(1)} km`;
}

/** Two digits that mean something; what is too little to print is said so, and is not nought. */
export function finds(value: number): string {
  if (value === 0) return '0';
  if (value < 0.01) return 'under 0.01';
  if (value < 1) return value.toFixed(2);
  return value < 10 ? value.toFixed(1) : String(Math.round(value));
}

export function index(value: number): string {
  return value.toFixed(2);
}

/** "224° SW", from true north. */
export function bearing(degrees: number): string {
  const whole = ((Math.round(degrees) % 360) + 360) % 360;
  return `${whole}° ${kWinds[Math.round(whole / 22.5) % 16]}`;
}

/** "12 %" of a share. */
export function share(value: number): string {
  const percent = value * 100;
  return percent > 0 && percent < 1 ? 'under 1 %' : `${Math.round(percent)} %`;
}

/** As share, but never all of it: a likeness is no certainty. */
export function likeness(value: number): string {
  return value > 0.99 ? 'over 99 %' : share(value);
}

/** "42.01230, -30.00450", about a metre fine. */
export function place(lat: number, lon: number): string {
  return `${lat.toFixed(5)}, ${lon.toFixed(5)}`;
}

/** Latitude and longitude from "42.0123, -30.0045" (comma, semicolon or blank between); the fault in words otherwise. */
export function parsePlace(text: string): { lat: number; lon: number } | { fault: string } {
  const parts = text.trim().split(/[\s,;]+/).filter((part) => part !== '');
  if (parts.length !== 2) return { fault: 'Two numbers are needed: latitude, longitude.' };
  const [lat, lon] = parts.map((part) => (/^[+-]?\d+(\.\d+)?$/.test(part) ? Number(part) : NaN)) as [number, number];
  if (!(lat >= -90 && lat <= 90)) return { fault: `"${parts[0]}" is no latitude from -90 to 90.` };
  if (!(lon >= -180 && lon <= 180)) return { fault: `"${parts[1]}" is no longitude from -180 to 180.` };
  return { lat, lon };
}

/** What the weather of a day rests on. */
export function basis(word: string): string {
  return { observed: 'measured', forecast: 'your forecast', ensemble: 'past years' }[word] ?? word;
}

/** How a profile is filed, in words that say nothing about a piece in hand. */
export function group(word: string): string {
  return (
    {
      edible: 'gathered by many, each piece once confirmed',
      conditional: 'for the experienced, with precautions',
      harmless: 'a double; not gathered',
      dangerous: 'DANGEROUS: here so that you learn to tell it apart',
    }[word] ?? word
  );
}

/** The n days from `date` on, as YYYY-MM-DD. */
export function plusDays(date: string, n: number): string {
  const at = new Date(`${date}T00:00:00Z`);
  at.setUTCDate(at.getUTCDate() + n);
  return at.toISOString().slice(0, 10);
}
