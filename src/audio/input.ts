/** Input devices: opened without the processing that calls want, with what went wrong in sentences. */
import { words } from '../words/recordings-words.ts';

export interface OpenInput {
  stream: MediaStream;
  channels: number;
  /** Seconds the browser reports for the input itself; null: it does not say. */
  latency: number | null;
  /** Processing that stayed on though it was declined. */
  processing: (keyof typeof words.processing)[];
  close: () => void;
}

const MOST_CHANNELS = 12;

/** Input devices by id; names appear once an input was allowed. */
export async function inputDevices(): Promise<{ id: string; name: string }[]> {
  const all = (await navigator.mediaDevices?.enumerateDevices()) ?? [];
  return all
    .filter(device => device.kind === 'audioinput' && device.deviceId !== 'default' && device.deviceId !== '')
    .map((device, i) => ({ id: device.deviceId, name: device.label || `${words.device} ${i + 1}` }));
}

/** Opens an input; `device` empty: the browser's choice. Rejects with a sentence. */
export async function openInput(device: string): Promise<OpenInput> {
  // missing on insecure pages
  if (!navigator.mediaDevices) throw new Error(words.inputProblems.insecure);
  let stream: MediaStream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({
      audio: {
        echoCancellation: false,
        noiseSuppression: false,
        autoGainControl: false,
        channelCount: { ideal: MOST_CHANNELS },
        ...(device && { deviceId: { exact: device } }),
      },
    });
  } catch (error) {
    const name = error instanceof DOMException ? error.name : '';
    const known = words.inputProblems[name as keyof typeof words.inputProblems];
    const why = error instanceof Error ? error.message || error.name : String(error);
    throw new Error(typeof known === 'string' ? known : words.inputProblems.other(why));
  }
  const settings = stream.getAudioTracks()[0].getSettings() as MediaTrackSettings & { latency?: number };
  const { latency } = settings;
  return {
    stream,
    channels: Math.min(MOST_CHANNELS, Math.max(1, settings.channelCount ?? 1)),
    latency: latency !== undefined && Number.isFinite(latency) ? latency : null,
    processing: (Object.keys(words.processing) as (keyof typeof words.processing)[]).filter(
      key => settings[key] === true,
    ),
    close: () => {
      for (const track of stream.getTracks()) track.stop();
    },
  };
}
