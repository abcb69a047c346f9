import type { TestPoint } from '../../shared/document/build.ts';
import type { Letter } from '../../shared/document/sheet.ts';

const db = (value: number) => {
  const size = Math.abs(value).toFixed(1);
  return size === '0.0' ? size : `${value < 0 ? '−' : '+'}${size}`;
};
const seconds = (s: number) => `${Math.floor(s / 60)}:${(s % 60).toFixed(1).padStart(4, '0')}`;

/** Words of the dock for listening. */
export const words = {
  fold: 'Loop',
  heading: 'Listening',
  play: 'Play',
  stop: 'Stop',
  playKey: 'Play or stop (space)',
  preparing: 'Preparing the take …',
  failed: (why: string) => `The take could not be prepared: ${why}`,
  take: 'Take',
  recorded: 'recorded',
  modelled: 'modelled',
  loop: 'Loop',
  wholeTake: 'Whole take',
  loopStart: 'loop start',
  loopEnd: 'loop end',
  loopStep: 'set loop',
  wholeStep: 'loop the whole take',
  buildNote: (letter: string) => `note on build ${letter}, printed on its sheet`,
  noteStep: (letter: string) => `change note on build ${letter}`,
  takeStep: 'choose take',
  unplayable: (name: string) => `${name} (not on this instrument)`,
  seconds: (s: number) => `${s.toFixed(2)} s`,
  time: (now: number, all: number) => `${seconds(now)} / ${seconds(all)}`,
  waveform: (name: string, duration: number) =>
    `Waveform of ${name}, ${duration.toFixed(1)} s. Drag over it to loop a part, click to go there.`,
  position: 'position in the take',
  builds: 'Builds',
  buildButton: (letter: Letter, name: string) => `Hear build ${letter}: ${name}`,
  unheard: ({ letter, instead, why }: { letter: Letter | null; instead: Letter | null; why: string | null }) => {
    const what = letter === null ? 'What you chose' : `Build ${letter}`;
    if (instead !== null && instead === letter)
      return why === null
        ? `${what} still sounds as it was before the last change.`
        : `The last change of build ${letter} cannot be heard: ${why}`;
    const rest = instead === null ? '' : ` Build ${instead} still sounds.`;
    return why === null ? `${what} is not heard yet.${rest}` : `${what} cannot be heard: ${why}.${rest}`;
  },
  add: 'Add',
  addStep: (letter: Letter) => `add build ${letter}`,
  remove: 'Remove',
  removeTitle: (letter: Letter) => `Remove build ${letter} (can be undone)`,
  removeStep: (letter: Letter) => `remove build ${letter}`,
  rename: (letter: Letter) => `name of build ${letter}`,
  renameStep: (letter: Letter) => `rename build ${letter}`,
  blindTest: 'Blind test',
  blindTestTitle: 'Can you tell two builds apart without knowing which is which? And which do you prefer?',
  testOffered: (builds: readonly [Letter, Letter], trials: number) =>
    `This link carries a blind test: ${builds[0]} against ${builds[1]}, ${trials} trials.`,
  list: 'Builds',
  listTitle: 'Names, order, copies, and what differs',
  copy: 'Copy',
  copyTitle: (letter: Letter) => `Copy build ${letter}`,
  moveUp: (letter: Letter) => `Move build ${letter} up`,
  moveDown: (letter: Letter) => `Move build ${letter} down`,
  moveStep: (letter: Letter) => `move build ${letter}`,
  removed: (letter: Letter, name: string) => `Build ${letter} “${name}” is removed.`,
  bringBack: 'Bring it back',
  bringBackStep: (letter: Letter) => `bring back build ${letter}`,
  full: 'All eight letters are taken.',
  lettersHint: 'The key of a letter switches to its build at any time, in the middle of a note too.',
  differs: (letter: Letter, against: Letter) => `What ${letter} has otherwise than ${against}`,
  differsWhat: 'what',
  differsBy: 'change',
  noDifference: (letter: Letter, against: Letter) => `${letter} and ${against} have the same values throughout.`,
  ownReference: (letter: Letter) =>
    `${letter} is the reference. Switch to another build, or choose another reference, to see what differs.`,
  reference: 'against',
  referenceLabel: 'reference build',
  levelMatch: 'Level match',
  levelMatchTitle: 'Play every build equally loud, so that the louder one does not simply win',
  matched: (letter: Letter, against: Letter, difference: number, exact: boolean, evened: boolean) =>
    letter === against
      ? `${letter} is the reference, ${exact ? 'measured' : 'estimate'}`
      : `${letter} ${db(difference)} dB ${exact ? 'measured' : 'estimate'}, ${evened ? 'evened out' : 'as it is'}`,
  exactTitle:
    'Loudness over the whole take by ITU-R BS.1770 against the reference build; an estimate while something changes',
  point: 'Heard at test point',
  points: {
    1: '1 bridge force',
    2: '2 after position',
    3: '3 after aperture',
    4: '4 jack',
    5: '5 input',
  } satisfies Record<TestPoint, string>,
  volume: 'Volume',
  volumeText: (level: number) => `${db(level)} dB`,
  level: (peak: number) => (peak > -90 ? `${db(peak)} dBFS` : 'silent'),
  limiterIdle: 'limiter idle',
  limiterWorks: (reduction: number) => `limiter ${db(reduction)} dB`,
  rebuilt: (why: string) => `The sound engine stopped (${why}) and was started again.`,
  engineLost: (why: string) =>
    `The sound engine stopped (${why}) and could not be started again. Your work is kept: press Play to set the sound up anew, or load the page again.`,
  insecure:
    'Browsers let a page play and record only by https or on localhost, and this page came by plain http. Drawing, readings, opening recordings and rendering files work here; open it by https, or on localhost, to listen.',
  soundTaken: 'The browser took the sound away. Press Play to set it up anew.',
  quiet: 'Start quiet, above all with headphones; hearing that is lost does not come back.',
} as const;
