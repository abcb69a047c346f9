/** Values of options as people type them, with a sentence for each that is wrong. */
import { TEST_POINTS, type TestPoint } from '../../shared/document/build.ts';
import { STRINGS_OF, type StringsOf } from '../../shared/document/sheet.ts';
import { Failure } from './failure.ts';

/** A number within limits. */
export function numberOption(name: string, text: string | undefined, low: number, high: number, unit = ''): number {
  const value = Number(text);
  const range = `a number from ${low} to ${high}${unit && ` ${unit}`}`;
  if (text === undefined) throw new Failure(`--${name} is missing: ${range}`);
  if (text.trim() === '' || !Number.isFinite(value) || value < low || value > high)
    throw new Failure(`--${name} is "${text}"; expected ${range}`);
  return value;
}

/** A whole number within limits. */
export function wholeOption(name: string, text: string | undefined, low: number, high: number): number {
  if (text === undefined) throw new Failure(`--${name} is missing: a whole number from ${low} to ${high}`);
  const value = Number(text);
  if (text.trim() === '' || !Number.isInteger(value) || value < low || value > high)
    throw new Failure(`--${name} is "${text}"; expected a whole number from ${low} to ${high}`);
  return value;
}

/** A test point: `TP5`, `tp5` or `5`. */
export function pointOption(text: string | undefined): TestPoint {
  const match = /^(?:tp)?([1-5])$/i.exec(text ?? '');
  const point = TEST_POINTS.find(p => p === Number(match?.[1]));
  if (point === undefined)
    throw new Failure(`--point is ${text === undefined ? 'missing' : `"${text}"`}; expected TP1, TP2, TP3, TP4 or TP5`);
  return point;
}

/** Whether levels are matched: `matched` or `true`. */
export function levelOption(text: string): boolean {
  if (text === 'matched') return true;
  if (text === 'true') return false;
  throw new Failure(`--level is "${text}"; expected matched (ITU-R BS.1770) or true`);
}

/** Whose strings recorded takes are heard on; null: as the sheet says. */
export function stringsOption(text: string | undefined): StringsOf | null {
  if (text === undefined) return null;
  const found = STRINGS_OF.find(one => one === text);
  if (!found) throw new Failure(`--strings is "${text}"; expected ${STRINGS_OF.join(' or ')}`);
  return found;
}
