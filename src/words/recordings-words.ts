/** Words of own recordings: bringing, mapping, recorded through, estimating, recording, playing live. */
import { noteNameOf } from '../../shared/string/note-names.ts';
import type { Doubt } from '../../shared/take/estimate/pickup-place.ts';

const hz = (f: number) => (f >= 1000 ? `${Number((f / 1000).toPrecision(3))} kHz` : `${Math.round(f)} Hz`);
const seconds = (s: number) => (s < 60 ? `${s.toFixed(1)} s` : `${Math.floor(s / 60)} min ${Math.round(s % 60)} s`);
const bytes = (n: number) => (n >= 1e9 ? `${(n / 1e9).toFixed(1)} GB` : `${(n / 1e6).toFixed(n < 1e7 ? 1 : 0)} MB`);
const pitch = (f: number) => `${noteNameOf(f)}, ${f.toFixed(1)} Hz`;
const milliseconds = (s: number) => `${(s * 1e3).toFixed(1)} ms`;
const mm = (m: number) => `${(m * 1e3).toFixed(1)} mm`;
const WORKS = 'WAV, FLAC, MP3, Ogg and AAC files with 1 to 12 channels can be brought';

const kinds = {
  unknown: 'unknown',
  'bridge-force': 'bridge force sensor',
  'modelled-bridge-force': 'modelled bridge force',
  microphone: 'microphone',
  pickup: 'a magnetic pickup',
  build: 'a build of this page',
};

export const words = {
  open: 'Own recordings',
  openTitle: 'Your own recordings: bring files, record a take, play live',
  heading: 'Own recordings',
  close: 'Close',
  stays: 'Everything stays on this machine: files are opened, kept and worked on in this browser, and nothing is sent.',
  storage: (used: number, quota: number) =>
    quota > 0 ? `${bytes(used)} used of ${bytes(quota)} this browser allows.` : `${bytes(used)} used.`,
  bring: 'Bring files',
  bringHint: `${WORKS}. They may also be dropped anywhere on the page, several at once.`,
  drop: 'Drop to bring as recordings',
  opening: (name: string) => `Opening ${name}`,
  cancel: 'Cancel',
  cancelOf: (name: string) => `Cancel ${name}`,
  dismiss: 'Close',
  none: 'No recordings yet.',
  group: 'own recordings',
  bytes,
  seconds,
  hz,

  unreadable: (name: string) =>
    `${name} could not be read. Check that it is still there and may be read, then try again.`,
  tooLong: (name: string) => `${name} is too long to be decoded in one piece. Save it as WAV, or bring a part of it.`,
  cannotDecode: (name: string, format: string) =>
    `${name} looks like ${format}, but this browser cannot decode it: it is damaged, cut off, or of a kind unknown here. Save it as WAV or FLAC.`,
  nothingInside: (name: string, format: string) => `${name} is a ${format} file without sound in it. Export it again.`,
  tooManyChannels: (name: string, channels: number) =>
    `${name} has ${channels} channels; up to 12 can be used. Export the ones you need.`,
  rateUnknown: (rate: number) => `The file does not say its sample rate; it was decoded at ${rate / 1000} kHz.`,
  notOpen: 'the recording is no longer open; try again',
  unpacksTooLong: (name: string, s: number, channels: number, most: number) =>
    `${name} holds ${seconds(s)} of ${channels === 1 ? '1 channel' : `${channels} channels`}, more than can be unpacked here at once. Bring up to ${Math.floor(most / 60)} minutes of it, or save it as WAV, which is read part by part.`,
  gone: (name: string) => `the file of “${name}” is no longer kept by this browser; bring it again`,
  noShelf:
    'This browser does not let the page keep recordings (private window, or storage switched off). They last until the page is closed.',
  noRoom: (name: string) =>
    `${name} could not be kept: the browser’s storage is full or switched off. Remove recordings you no longer need, then try again.`,
  notKept: (name: string) =>
    `${name} can be used until this page is closed, but it is not kept: the browser’s storage is full or switched off. Remove recordings you no longer need, or allow storage, then bring it again.`,
  shelfSilent: 'the browser’s storage does not answer; reload the page or restart the browser',
  damaged: (n: number) =>
    n === 1
      ? 'One kept recording is damaged and cannot be shown; the others can.'
      : `${n} kept recordings are damaged and cannot be shown; the others can.`,
  inputLost: 'The input was unplugged or taken away, so the recording ended there. What had been recorded is kept.',
  recovered: 'A recording that the page was left in the middle of was found and kept, up to about its last second.',
  elsewhere:
    'it is a recording kept in another browser, or it was removed. Bring the file here, or choose another take.',
  openCut: (s: number) => `Open the ${seconds(s)} that are there`,
  removed: (name: string) => `“${name}” was removed. Closing this line deletes it for good.`,
  bringBack: 'Bring it back',
  recordedName: (n: number) => `Own recording ${n}`,
  chooseStep: 'choose take',

  use: 'Play this one',
  inUse: 'is played',
  edit: 'Edit',
  editOf: (name: string) => `Edit ${name}`,
  remove: 'Remove',
  removeOf: (name: string) => `Remove ${name}`,
  about: (s: number, channels: number, rate: number, size: number) =>
    `${seconds(s)}, ${channels} ${channels === 1 ? 'channel' : 'channels'}, ${rate / 1000} kHz, ${bytes(size)}`,
  name: 'Name',
  from: 'From',
  to: 'To',
  firstPart: (s: number) => `It is long: its first ${s} seconds are played. Choose another part with From and To.`,

  map: 'Channels and strings',
  channel: (n: number) => `Channel ${n}`,
  lowest: (f: number | null) => (f === null ? 'no clear pitch' : `from ${f.toFixed(1)} Hz`),
  string: (n: number, name: string) => `string ${n} (${name})`,
  mixed: (n: number, name: string) => `several strings, taken as string ${n} (${name})`,
  uncombed: 'several strings, without a position comb',
  uncombedNote:
    'A mixture without a position comb goes through coils, wiring, controls and load only. Moving, slanting or lowering a pickup changes nothing in it, pickups in use together add as if they stood in one place, and a comb that was recorded with it stays in it. It tells builds apart by their electronics, not by where their pickups are.',
  mixture: (n: number) => `several strings, in place of string ${n}`,
  off: 'left out',
  mixedNote:
    'Each string has a comb of its own, so a channel with several strings in it cannot be treated exactly. It is taken as if all of it came from the one string you choose: right for that string, wrong for the others, most of all near the dips. Notes on one string at a time, or one channel for each string, avoid this.',

  through: 'Recorded through',
  throughKinds: kinds,
  throughLine: (kind: keyof typeof kinds) => `own recording, through ${kinds[kind]}`,
  throughNotes: {
    unknown: 'Nothing is undone: whatever it was recorded through is heard, and every build comes on top of it.',
    'bridge-force': 'This is what the builds need: nothing has to be undone but the sensor’s corner, if it has one.',
    'modelled-bridge-force': 'This is what the builds need: nothing has to be undone.',
    microphone:
      'Body, room and microphone stay in it and cannot be undone here; there is no comb of a pickup in it, so builds can be compared on it.',
    pickup: 'Its comb, window, coil and load are undone as far as the recording allows.',
    build: 'The build as it stands now is remembered with the take and undone as far as the recording allows.',
  },
  pickupKind: 'Kind of pickup',
  position: 'from the saddle',
  resistance: 'coil resistance',
  inductance: 'coil inductance',
  capacitance: 'coil capacitance',
  cable: 'cable capacitance',
  input: 'input resistance',
  whichBuild: 'Build',
  keptBuild: (name: string) => `${name} (as remembered)`,
  point: 'at',
  points: { 3: 'the coils, test point 3', 4: 'the jack, test point 4', 5: 'the input, test point 5' } as Record<
    number,
    string
  >,
  lift: 'Lift at most',
  liftHint: 'Nothing is lifted by more than this, so that noise stays down.',
  corner: 'Input or sensor corner',
  cornerKnown: 'High-pass corner of sensor or interface is known',

  before: 'as recorded',
  after: 'un-coloured',
  undone: 'What was undone',
  plotTitle: (string: string) => `Spectrum of ${string}, before and after`,
  plotAxis: 'level, dB below the strongest band',
  frequency: 'frequency, Hz',
  tooWeak: 'too weak',
  weakList: (string: string, bands: readonly (readonly [number, number])[]) =>
    bands.length === 0
      ? `${string}: nothing was too weak to recover.`
      : `${string}: too weak to recover at ${bands.map(([a, b]) => `${hz(a)} to ${hz(b)}`).join(', ')}.`,
  lifted: (dB: number) => `Lifted by up to ${dB.toFixed(1)} dB.`,
  weakNote: 'There the recording holds too little; nothing was invented, and readings of this take are shaded there.',
  notYet: 'Play this take to see what was undone.',
  levelNote: 'How hard the strings were played is not known from a recording; its peak is set to that of a firm strum.',

  estimate: 'Where pickup and pluck were',
  estimateHint:
    'From single notes, each left to ring. What stays at one distance over all notes is the pickup, what wanders with the hand is the pluck: play open and fretted notes on several strings, plucked in different places.',
  estimateRun: (channels: number) =>
    channels === 1 ? 'Estimate from its notes' : `Estimate from all ${channels} strings`,
  estimateFailed: (why: string) => `No estimate: ${why}.`,
  estimateProgress: (part: number) => `Looking at the notes, ${Math.round(100 * part)} %`,
  belowOpen: (string: string, lowest: number, open: number) =>
    `${string} sounds at ${pitch(lowest)}, below its open pitch of ${pitch(open)}. If it is tuned lower, set its pitch on the instrument and estimate again: with the wrong pitch every fret and every place would be wrong`,
  doubt: (doubt: Doubt, others: readonly { distance: number }[]): string => {
    switch (doubt.kind) {
      case 'exchanged':
        return `Pickup and pluck cannot be told apart by these notes: the pickup may be at ${mm(doubt.pluck)} and the pluck at ${mm(doubt.pickup)}. Notes plucked elsewhere, or on other frets, settle it.`;
      case 'mirrored':
        return `The place may be its mirror image about the middle of the string, ${mm(doubt.pickup)}. Notes on other frets settle it.`;
      case 'others':
        return `The notes do not rule out the pickup at ${others.map(one => mm(one.distance)).join(' or ')}. Notes on more frets or strings, or plucked elsewhere, settle it.`;
      case 'no comb':
        return 'The levels are explained as well without any pickup at one place: the recording may be of a bridge sensor or a microphone, of several pickups, or of too few clear notes. Do not trust the place.';
      case 'two pickups':
        return `Two pickups at once explain these notes better, at about ${mm(doubt.near)} and ${mm(doubt.far)}. Record each alone, or choose what it was recorded through by hand.`;
    }
  },
  pluckMirror:
    'A pluck and its mirror image about the middle of the sounding string look the same; the nearer to the saddle is given.',
  onString: (string: string, distance: number, spread: number) => `${string}: ${mm(distance)} ± ${mm(spread)}`,
  noteHead: ['at', 'string', 'fret', 'f0', 'B', 'pluck', 'fit within'],
  note: (
    at: number,
    string: string,
    fret: number,
    f0: number,
    B: number,
    pluck: number,
    spread: number,
    confidence: number,
    error: number,
  ) =>
    [
      `${at.toFixed(2)} s`,
      string,
      String(fret),
      `${f0.toFixed(2)} Hz`,
      B.toExponential(1).replace('-', '−').replace('e−', 'e−'),
      `${mm(pluck)} ± ${mm(spread)} (${Math.round(100 * confidence)} %)`,
      `${error.toFixed(1)} dB`,
    ] as const,
  pickupAt: (distance: number, spread: number, confidence: number) =>
    `Pickup ${mm(distance)} from the saddle, ± ${mm(spread)}; within 3 mm of that with a probability of ${Math.round(100 * confidence)} %.`,
  alternatives: (others: readonly { distance: number; confidence: number }[]) =>
    others.length === 0
      ? ''
      : `Not ruled out: ${others.map(o => `${mm(o.distance)} (${Math.round(100 * o.confidence)} %)`).join(', ')}.`,
  skipped: (reasons: readonly { at: number; why: string }[]) =>
    reasons.length === 0
      ? ''
      : `${reasons.length} ${reasons.length === 1 ? 'note was' : 'notes were'} left out: ${reasons
          .slice(0, 4)
          .map(({ at, why }) => `at ${at.toFixed(1)} s, ${why}`)
          .join('; ')}${reasons.length > 4 ? '; and others' : ''}.`,
  useThis: 'Use this position',
  useOther: (distance: number) => `Use ${mm(distance)} instead`,
  envelopeTitle: (fret: number) => `Harmonics of the note at fret ${fret}`,
  partial: 'harmonic',
  measuredLevel: 'measured',
  fittedLevel: 'fitted',
  levelAxis: 'level, dB',

  record: 'Record',
  device: 'Input',
  defaultDevice: 'the browser’s choice',
  startRecording: 'Record',
  stopRecording: 'Stop and keep',
  recordHint: 'Echo cancellation, noise suppression and gain control are switched off.',
  recording: (s: number) => `Recording, ${seconds(s)}`,
  level: (dB: number) => (Number.isFinite(dB) ? `peak ${dB.toFixed(1).replace('-', '−')} dBFS` : 'silence'),
  levelLabel: 'input level',
  clipped: (n: number) => (n === 0 ? 'no clipping' : `${n} samples clipped: turn the input down`),
  applied: (names: readonly string[]) =>
    `This browser kept ${names.join(' and ')} on for this input; levels and spectrum are not to be trusted.`,
  processing: {
    echoCancellation: 'echo cancellation',
    noiseSuppression: 'noise suppression',
    autoGainControl: 'gain control',
  },
  nothingRecorded: 'Nothing was recorded; record at least a tenth of a second.',
  inputProblems: {
    NotAllowedError:
      'The page may not use the input. Allow the microphone for this page in the browser’s address bar, then try again.',
    NotFoundError: 'There is no input device. Plug in an interface or a microphone, then try again.',
    NotReadableError:
      'The input is in use by another program or does not answer. Free it or plug it in again, then try again.',
    OverconstrainedError: 'The chosen input is gone. Choose another.',
    insecure: 'Inputs work on secure pages only: open the page by https or on localhost.',
    other: (why: string) => `The input could not be opened (${why}). Check that it works elsewhere, then try again.`,
  },

  live: 'Play live',
  liveStart: 'Switch on, muted',
  liveStop: 'Switch off',
  mute: 'Muted',
  feedback:
    'Feedback: with loudspeakers on, a microphone or a pickup near them can howl, loud enough to hurt. Use headphones, turn the volume down, then unmute. The limiter stays on.',
  liveNote:
    'What comes in already has its own pickup’s comb and coil in it, unless it is a bridge force sensor; live input is not un-coloured.',
  liveStrings: 'plays as',
  oneString: (n: number, name: string) => `one string: string ${n} (${name})`,
  perString: (channels: number) => `channels 1 to ${channels} as strings 1 to ${channels}`,
  channelsIn: (n: number) => `${n} ${n === 1 ? 'channel' : 'channels'} in`,
  latency: (total: number) =>
    `Latency about ${milliseconds(total)}, worked out from what the browser and the engine say:`,
  latencyParts: {
    input: 'input, as the browser reports it',
    inputUnknown: 'input: the browser does not say',
    base: 'the audio system’s block',
    output: 'output device',
    kernel: 'delay of the string kernels',
    limiter: 'limiter look-ahead',
  },
  milliseconds,
};
