import type { Letter } from '../../shared/document/sheet.ts';
import type { AbxResult } from '../../shared/statistics/binomial.ts';
import type { PreferenceResult } from '../../shared/statistics/preference.ts';

const percent = (p: number) => `${Math.round(p * 100)}\u00a0%`;
const figure = (p: number) => (p < 0.001 ? 'below 0.001' : p.toFixed(3));

/** How often guessing does as well, in a sentence's words. */
const byChance = ({ probability, oneIn }: AbxResult): string =>
  probability > 1 / 3
    ? `guessing does as well or better in ${Math.round(probability * 100)} of 100 runs`
    : `chance would do this 1 time in ${oneIn.toLocaleString('en').replaceAll(',', ' ')}`;

/** Words of the listening tests. */
export const words = {
  heading: 'Listening tests',
  close: 'Close',
  kinds: { blind: 'Which one is X?', preference: 'Which do you prefer?' },
  kindLabel: 'kind of test',
  about: {
    blind:
      'X is one of two builds, drawn anew for every trial. Listen to both and to X as often as you like, then say which one X is. How you did is told at the end.',
    preference:
      'Two builds at a time, without their letters. Listen to both as often as you like and say which you prefer. Every pair comes up in every round.',
  },
  fair: 'Builds are played equally loud by measured loudness, whatever is chosen outside, and the loop goes on while you switch.',
  first: 'first build',
  second: 'second build',
  trials: 'trials',
  trialsHint: (least: number, most: number) => `${least} to ${most}, fixed before the first one`,
  needed: (needed: number | null, trials: number) =>
    needed === null
      ? `With ${trials} trials even a perfect run can be chance.`
      : `${needed} of ${trials} would happen by chance at most 1 time in 20.`,
  which: 'builds to choose among',
  rounds: 'rounds',
  choicesAhead: (n: number) => `${n} choice${n === 1 ? '' : 's'}`,
  start: 'Start',
  measuring: 'Measuring loudness …',
  noTake: 'The take is being prepared …',
  needTwo: 'Two builds are needed. Add one under Listening first.',
  sameTwice: 'Choose two different builds.',
  chooseTwo: 'Choose at least two builds.',
  unlikeStrings:
    'These builds have different strings or frets, so the take itself is played differently and would give them away. Compare builds on the same strings.',
  silent: (letter: Letter) => `Build ${letter} gives no sound at this test point.`,
  copyLink: 'Copy a link with this test',
  linkCopied: 'Copied. Whoever opens the link is offered this test.',
  linkRefused: 'The browser refused the clipboard. The link:',
  trial: (n: number, of: number) => `Trial ${n} of ${of}`,
  choice: (n: number, of: number) => `Choice ${n} of ${of}`,
  hear: 'Hear',
  hearX: 'X',
  hearPlace: (place: 0 | 1) => String(place + 1),
  xIs: (place: 0 | 1, letter: Letter) => `X is ${place + 1} (${letter})`,
  prefer: (place: 0 | 1) => `I prefer ${place + 1}`,
  answer: 'Answer, and on',
  keysBlind: 'Keys: 1, 2 and X to hear, ← or → to say which one X is, Enter to answer, space to play or stop.',
  keysPreference: 'Keys: 1 and 2 to hear, ← or → to choose, Enter to answer, space to play or stop.',
  firstHearX: 'Hear X before you answer.',
  firstHearBoth: 'Hear both before you choose.',
  hearing: (what: string) => `hearing ${what}`,
  play: 'Play',
  stop: 'Stop the sound',
  volume: 'Volume',
  volumeText: (dB: number) => `${dB < 0 ? '−' : '+'}${Math.abs(dB)} dB`,
  abandon: 'Give up the test',
  abandonAsk: 'Give up this test? Its answers so far are not kept.',
  abandonYes: 'Give it up',
  abandonNo: 'Go on',
  result: 'Result',
  hits: (result: AbxResult) => `${result.correct} of ${result.trials}: ${byChance(result)}.`,
  verdict: (result: AbxResult) =>
    result.probability <= 0.05
      ? 'It is likely that you heard a difference. One run in twenty comes out like this by luck alone; a second run would settle it.'
      : result.needed === null
        ? 'With so few trials even a perfect run can be luck. Take more.'
        : `This does not show that you can tell them apart, nor that you cannot: ${result.needed} of ${result.trials} would have been needed.`,
  probability: (result: AbxResult) =>
    `Probability of this or better by guessing: ${figure(result.probability)} (exact binomial).`,
  trialHead: ['trial', 'X was', 'you said', ''] as const,
  right: 'right',
  wrong: 'not',
  rankHead: ['place', 'build', 'chosen', 'chosen over the first'] as const,
  chosen: (chosen: number, offered: number) => `${chosen} of ${offered}`,
  over: (probability: number, [low, high]: readonly [number, number]) =>
    `${percent(probability)} of the time (95\u00a0%: ${percent(low)} to ${percent(high)})`,
  ranking: (result: PreferenceResult, names: readonly string[]) => {
    const [top] = result.ranked;
    const leaders = result.ranked.filter(r => r.place === 1);
    if (!result.determined)
      return `Too few choices for a ranking: some build always won, always lost, or was never met by the others. ${names[top.item]} leads so far, which may be luck; more rounds are needed.`;
    if (!result.anyDistinct)
      return `No build is preferred over another beyond what luck would do in ${result.choices} choices. More rounds would show smaller preferences.`;
    if (leaders.length === 1) return `${names[top.item]} is preferred over the next, beyond what luck would do.`;
    return `${leaders.map(r => names[r.item]).join(', ')} are not told apart at the top; the others come after.`;
  },
  model: 'Ranked by the model of Bradley and Terry (1952); builds that the choices do not tell apart share a place.',
  keep: 'Keep with the builds',
  keepStep: 'keep a listening test',
  kept: 'Kept with the builds; it is saved and shared with them.',
  again: 'Another run',
  unkeptAsk: 'This result is not kept yet.',
  unkeptKeep: 'Keep it',
  unkeptLetGo: 'Let it go',
  unkeptStay: 'Stay here',
  runs: (n: number) => `Kept runs (${n})`,
  runLine: (date: string, who: string, what: string) => `${date}, ${who}: ${what}`,
  removeRun: (n: number) => `Remove kept run ${n}`,
  remove: 'Remove',
  removeStep: 'remove a kept run',
} as const;
