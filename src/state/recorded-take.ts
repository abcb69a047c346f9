/**
 * Recording a take: every second of it is kept as it comes, so that a page that is lost loses no more; the browser asks
 * before it is left; an input that is pulled out ends it, and what there is is kept.
 */
import { join, type Recording, type RecordingMeter, record } from '../audio/record.ts';
import { words } from '../words/recordings-words.ts';
import { keepRecorded, newId, report } from './own-recordings.ts';
import { beginUnfinished, dropUnfinished, keepPiece, readPieces, unfinished } from './recording-shelf.ts';

/** Samples of each channel written at a time: about a second. */
const BATCH = 48_000;

export interface RunningTake {
  input: Recording['input'];
  /** Ends the recording; the take is kept if it is long enough. False: it was too short. */
  stop: () => Promise<boolean>;
}

const lockOf = (id: string) => `comb-and-coil/recording/${id}`;

/** Says to other tabs, for as long as `ended` is open, that a recording is still under way. */
function underWay(id: string, ended: Promise<void>): void {
  navigator.locks?.request(lockOf(id), () => ended).catch(() => undefined);
}

/** Starts to record; call it in a gesture. Rejects with a sentence. */
export async function recordTake(
  device: string,
  onMeter: (meter: RecordingMeter) => void,
  onLost: () => void,
): Promise<RunningTake> {
  const id = newId();
  let end = () => {};
  const ended = new Promise<void>(resolve => {
    end = resolve;
  });
  let batch: Float32Array[][] = [];
  let count = 0;
  let written = 0;
  let writing: Promise<unknown> = Promise.resolve();
  let sampleRate = 0;
  const write = () => {
    const piece = join(batch);
    const first = written === 0;
    const n = written++;
    batch = [];
    count = 0;
    writing = writing
      .then(() => (first ? beginUnfinished({ id, sampleRate }) : undefined))
      .then(() => keepPiece(id, n, piece))
      .catch(() => undefined);
  };
  const recording = await record(device, {
    onMeter,
    onPiece: (piece, rate) => {
      sampleRate = rate;
      batch.push(piece);
      count += piece[0].length;
      if (count >= BATCH) write();
    },
    onLost: () => {
      report(words.inputLost);
      onLost();
    },
  });
  underWay(id, ended);
  const ask = (event: BeforeUnloadEvent) => event.preventDefault();
  addEventListener('beforeunload', ask);
  return {
    input: recording.input,
    stop: async () => {
      const { channels, sampleRate: rate } = await recording.stop();
      const kept = await keepRecorded(channels, rate).finally(() => removeEventListener('beforeunload', ask));
      await writing;
      // a take that could not be kept stays where its pieces are
      if (kept !== 'failed') await dropUnfinished(id).catch(() => undefined);
      end();
      return kept !== 'too short';
    },
  };
}

/** Keeps what an earlier page recorded and did not end; what another tab still records is left alone. */
export async function recoverUnfinished(): Promise<void> {
  for (const { id, sampleRate } of await unfinished()) {
    const recover = async () => {
      const pieces = await readPieces(id);
      const kept = pieces.length > 0 ? await keepRecorded(join(pieces), sampleRate) : 'too short';
      if (kept === 'failed') return;
      await dropUnfinished(id);
      if (kept === 'kept') report(words.recovered);
    };
    if (!navigator.locks) await recover();
    else await navigator.locks.request(lockOf(id), { ifAvailable: true }, lock => (lock ? recover() : undefined));
  }
}
