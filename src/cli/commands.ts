/** The commands of `lab`. Each reads and writes plain files; what the person can put right is a `Failure`. */

import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { harnessNetlist } from '../../shared/circuit/netlist.ts';
import { isBehindNetwork } from '../../shared/document/build.ts';
import { examples } from '../../shared/document/starting/starting-builds.ts';
import { sheetSvg } from '../paper/sheet-svg.ts';
import type { TitleField } from '../paper/sheet-title.ts';
import { levelOption, numberOption, pointOption, stringsOption, wholeOption } from './arguments.ts';
import { figuresText } from './cli-figures.ts';
import { onStringsOf, stringForces, takesText } from './cli-takes.ts';
import { compareText } from './compare.ts';
import { Failure } from './failure.ts';
import { HELP } from './help.ts';
import { type ReadBuild, readBuild, readBuilds } from './read-build.ts';
import { FORMATS, render } from './render.ts';
import { renderMany } from './render-many.ts';
import { responseCsv } from './response.ts';

type Values = Record<string, string | boolean | (string | boolean)[] | undefined>;
const text = (values: Values, name: string): string | undefined => {
  const value = list(values, name);
  if (value.length > 1) throw new Failure(`--${name} is given ${value.length} times; once is expected`);
  return value[0];
};

/** Every value of an option that may be repeated or hold a list with commas. */
const list = (values: Values, name: string, split = false): string[] => {
  const value = values[name];
  const all = (Array.isArray(value) ? value : [value]).filter(one => typeof one === 'string');
  return split ? all.flatMap(one => one.split(',').map(part => part.trim())).filter(one => one !== '') : all;
};

/** Fields of the title block. */
const TITLE_OPTIONS = {
  owner: 'text',
  title: 'text',
  supplement: 'text',
  number: 'text',
  revision: 'text',
  date: 'text',
  creator: 'text',
  approval: 'text',
  department: 'text',
  reference: 'text',
  type: 'text',
  status: 'text',
} as const satisfies Record<TitleField, 'text'>;

/** Files that a command takes at most. */
const FILES: Partial<Record<Command, number>> = { takes: 0, help: 0, compare: 2, render: 8 };

/** Options of each command: `text` takes a value, `flag` does not. */
const OPTIONS = {
  response: {
    build: 'text',
    string: 'text',
    point: 'text',
    from: 'text',
    to: 'text',
    points: 'text',
    log: 'flag',
    output: 'text',
    delay: 'flag',
    rate: 'text',
  },
  render: {
    build: 'text',
    take: 'text',
    point: 'text',
    out: 'text',
    bits: 'text',
    rate: 'text',
    string: 'text',
    gain: 'text',
    normalize: 'flag',
    level: 'text',
    reference: 'text',
    strings: 'text',
  },
  compare: { builds: 'text' },
  sheet: { build: 'text', out: 'text', paper: 'text', units: 'text', ...TITLE_OPTIONS },
  takes: {},
  example: {},
  netlist: { build: 'text', point: 'text' },
  figures: { build: 'text', fret: 'text', to: 'text', output: 'text' },
  help: {},
} as const satisfies Record<string, Record<string, 'text' | 'flag'>>;
type Command = keyof typeof OPTIONS;

function parse(command: Command, rest: string[]): { values: Values; positionals: string[] } {
  const options = Object.fromEntries(
    Object.entries(OPTIONS[command]).map(([name, kind]) => [
      name,
      { type: kind === 'text' ? ('string' as const) : ('boolean' as const), multiple: kind === 'text' },
    ]),
  );
  // A lone number such as -6 is a value, not an option: --gain -6 is what people type.
  const joined: string[] = [];
  for (let i = 0; i < rest.length; i++) {
    const next = rest[i + 1];
    if (/^--[a-z]+$/.test(rest[i]) && next !== undefined && /^-\.?\d/.test(next))
      joined.push(`${rest[i]}=${rest[++i]}`);
    else joined.push(rest[i]);
  }
  try {
    return parseArgs({ args: joined, options, allowPositionals: true, strict: true });
  } catch (error) {
    const known = Object.keys(OPTIONS[command]).map(name => `--${name}`);
    throw new Failure(
      `${error instanceof Error ? error.message : String(error)}\n"lab ${command}" knows ${known.join(', ') || 'no options'}`,
    );
  }
}

const RATES = [8000, 192_000] as const;

function writeText(path: string, content: string): void {
  try {
    writeFileSync(path, content);
  } catch (error) {
    throw new Failure(`cannot write "${path}": ${error instanceof Error ? error.message : String(error)}`);
  }
}

interface Said {
  /** What goes to standard output. */
  out: string;
  /** What goes to standard error. */
  notes?: string;
}

/** Runs one command. */
export function run(args: readonly string[]): Said {
  const told: string[] = [];
  const { out, notes = '' } = carryOut(args, line => told.push(`${line}\n`));
  const all = told.join('') + notes;
  return all === '' ? { out } : { out, notes: all };
}

/** Longer than other functions: a case for each command. `tell` is given lines that the person did not ask for. */
function carryOut(args: readonly string[], tell: (line: string) => void): Said {
  const [first = 'help', ...rest] = args;
  if (first === '--help' || first === '-h') return { out: HELP };
  if (!Object.hasOwn(OPTIONS, first))
    throw new Failure(`there is no command "${first}"; commands are ${Object.keys(OPTIONS).join(', ')}`);
  const command = first as Command;
  const { values, positionals } = parse(command, rest);
  const most = FILES[command] ?? 1;
  if (positionals.length > most) throw new Failure(`"${positionals[most]}" was not expected after "lab ${command}"`);
  const read = (): ReadBuild => {
    const letter = text(values, 'build');
    const one = readBuild(positionals[0], letter);
    if (letter === undefined && one.among.length > 1)
      tell(`build ${one.letter} of ${one.among.join(', ')}; --build LETTER takes another`);
    return one;
  };
  /** A build of a sheet as its page shows it: on the strings of the sheet's take. */
  const shown = ({ build, take, strings }: ReadBuild) => onStringsOf(build, take, strings);
  const optional = (name: string, otherwise: string) => text(values, name) ?? otherwise;

  switch (command) {
    case 'help':
      return { out: HELP };
    case 'takes':
      return { out: takesText() };
    case 'example': {
      const list = examples();
      if (positionals[0] === 'list') return { out: list.map(e => `${e.id}\t${e.build.name}\n`).join('') };
      const found = positionals[0] === undefined ? list[0] : list.find(e => e.id === positionals[0]);
      if (!found)
        throw new Failure(`there is no example "${positionals[0]}"; examples are ${list.map(e => e.id).join(', ')}`);
      return { out: `${JSON.stringify(found.build, null, 2)}\n` };
    }
    case 'response': {
      const b = shown(read());
      return {
        out: responseCsv(b, {
          string: wholeOption('string', text(values, 'string'), 1, b.instrument.strings.length),
          point: pointOption(text(values, 'point')),
          from: numberOption('from', optional('from', '20'), 0, 1e6, 'Hz'),
          to: numberOption('to', optional('to', '20000'), 0, 1e6, 'Hz'),
          points: wholeOption('points', optional('points', '1000'), 1, 1_000_000),
          log: values.log === true,
          output: wholeOption('output', optional('output', '1'), 1, b.outputs.length),
          delayRate: values.delay === true ? numberOption('rate', optional('rate', '48000'), ...RATES, 'Hz') : null,
        }),
      };
    }
    case 'compare': {
      const letters = list(values, 'builds', true);
      if (positionals.length === 1 && letters.length === 2) {
        const [a, b] = letters.map(letter => shown(readBuild(positionals[0], letter)));
        return { out: compareText(a, b) };
      }
      if (positionals.length !== 2)
        throw new Failure(
          'compare takes two builds: lab compare A.json B.json, or lab compare SHEET.json --builds A,B',
        );
      return { out: compareText(shown(readBuild(positionals[0])), shown(readBuild(positionals[1]))) };
    }
    case 'sheet': {
      const paper = optional('paper', 'a4');
      if (paper !== 'a4' && paper !== 'letter') throw new Failure(`--paper is "${paper}"; expected a4 or letter`);
      const units = optional('units', 'mm');
      if (units !== 'mm' && units !== 'in') throw new Failure(`--units is "${units}"; expected mm or in`);
      const fields = Object.fromEntries(
        Object.keys(TITLE_OPTIONS).flatMap(name => {
          const value = text(values, name);
          return value === undefined ? [] : [[name, value]];
        }),
      );
      const svg = sheetSvg(shown(read()), { paper, units, fields });
      const out = text(values, 'out');
      if (out === undefined) return { out: svg };
      writeText(out, svg);
      return { out: '', notes: `${out}: build sheet, ${paper === 'a4' ? 'A4' : 'Letter'}, ${units}\n` };
    }
    case 'render': {
      const takes = list(values, 'take', true);
      const points = list(values, 'point', true).map(pointOption);
      const out = text(values, 'out');
      if (takes.length === 0)
        throw new Failure('--take is missing: the id of a take ("lab takes" lists them) or a WAV file');
      const format = optional('bits', '32f');
      const bits = Object.hasOwn(FORMATS, format) ? FORMATS[format as keyof typeof FORMATS] : undefined;
      if (bits === undefined) throw new Failure(`--bits is "${text(values, 'bits')}"; expected 16, 24 or 32f`);
      const rate = text(values, 'rate') === undefined ? null : wholeOption('rate', text(values, 'rate'), ...RATES);
      const letters = list(values, 'build', true);
      const strings = stringsOption(text(values, 'strings'));
      const level = text(values, 'level');
      const many = positionals.length > 1 || letters.length > 1 || takes.length > 1 || points.length > 1;
      if (many || level !== undefined) {
        if (out === undefined) throw new Failure('--out is missing: the folder to write to');
        if (/\.wave?$/i.test(out))
          throw new Failure(
            `--out is "${out}"; several files or levels need a folder, files are named by what they are`,
          );
        for (const single of ['gain', 'normalize', 'string'])
          if (values[single] !== undefined)
            throw new Failure(`--${single} is for one file; --level true or matched sets the level of several`);
        if (points.length === 0) pointOption(undefined);
        const builds = readBuilds(positionals, letters).map(one => ({ ...one, strings: strings ?? one.strings }));
        const reference = optional('reference', builds[0].letter).toUpperCase();
        const found = builds.find(b => b.letter === reference);
        if (!found)
          throw new Failure(`--reference is "${reference}"; builds are ${builds.map(b => b.letter).join(', ')}`);
        const matched = levelOption(level ?? 'matched');
        return { out: renderMany({ builds, takes, points, out, rate, bits, matched, reference: found.letter }) };
      }
      const one = read();
      const [take] = takes;
      const b = onStringsOf(one.build, take, strings ?? one.strings);
      const point = points[0] ?? pointOption(undefined);
      if (out === undefined) throw new Failure('--out is missing: the WAV file to write');
      const string =
        text(values, 'string') === undefined
          ? null
          : wholeOption('string', text(values, 'string'), 1, b.instrument.strings.length);
      const gain =
        text(values, 'gain') === undefined ? null : numberOption('gain', text(values, 'gain'), -200, 200, 'dB');
      const forces = stringForces(b, take, rate, string);
      return {
        out: '',
        notes: `${render(b, forces, { point, out, bits, gain, normalize: values.normalize === true })}\n`,
      };
    }
    case 'netlist': {
      const point = pointOption(optional('point', 'TP5'));
      if (!isBehindNetwork(point)) throw new Failure(`--point is TP${point}; a network has TP4 or TP5`);
      const written = harnessNetlist(read().build, point).text;
      return { out: written.endsWith('\n') ? written : `${written}\n` };
    }
    case 'figures': {
      const b = shown(read());
      return {
        out: figuresText(
          b,
          wholeOption('output', optional('output', '1'), 1, b.outputs.length) - 1,
          wholeOption('fret', optional('fret', '0'), 0, 36),
          numberOption('to', optional('to', '5000'), 20, 20_000, 'Hz'),
        ),
      };
    }
  }
}
