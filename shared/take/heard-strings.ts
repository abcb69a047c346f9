/**
 * The strings that a take is heard on. A recorded string brings its own inharmonicity: its partials lie where B put them,
 * and the comb of a pickup meets them right only on a string of that B. A modelled take sounds on the build's strings.
 */
import type { Build, StringSpec } from '../document/build.ts';
import type { StringsOf } from '../document/sheet.ts';
import { stringModel } from '../string/stiff.ts';
import { channelStrings, type Manifest, type Recording, recordingOf } from './manifest.ts';

const known = new WeakMap<Build, WeakMap<Recording, Build>>();

/** Index of the recording's channel for each string of the build; −1: the recording has none tuned near it. */
const channelOf = (build: Build, recording: Recording): number[] => {
  const strings = channelStrings(recording, build.instrument);
  return build.instrument.strings.map((_, i) => strings.indexOf(i));
};

/** `build` on the strings of `recording`, where it has some of their pitch; the same object where nothing differs. */
function onStringsOf(build: Build, recording: Recording): Build {
  const before = known.get(build)?.get(recording);
  if (before) return before;
  const channels = channelOf(build, recording);
  const strings = build.instrument.strings.map((spec, i): StringSpec => {
    const value = recording.channels[channels[i]]?.inharmonicity.value ?? spec.inharmonicity;
    return value === spec.inharmonicity ? spec : { ...spec, inharmonicity: value };
  });
  const same = strings.every((spec, i) => spec === build.instrument.strings[i]);
  const heard = same ? build : { ...build, instrument: { ...build.instrument, strings } };
  const ofBuild = known.get(build) ?? new WeakMap<Recording, Build>();
  known.set(build, ofBuild.set(recording, heard));
  return heard;
}

/** The recording whose strings a take is heard on; null: the build's own strings. */
export function stringsHeard(manifest: Manifest, take: string, strings: StringsOf): Recording | null {
  const found = strings === 'take' ? manifest.takes.find(one => one.id === take) : undefined;
  return found ? recordingOf(manifest, found) : null;
}

/**
 * A build as a take is heard through it: with the inharmonicity of the recorded strings for those of its own that they
 * are tuned like (within a semitone), everything else as it is. Memoised on the identity of `build`.
 * @param take id of the take; one that is not shipped brings no strings
 */
export function asHeard(build: Build, manifest: Manifest, take: string, strings: StringsOf): Build {
  const recording = stringsHeard(manifest, take, strings);
  return recording ? onStringsOf(build, recording) : build;
}

/** Strings of a build whose B lies outside what was measured on the recording's, by more than its uncertainty. */
export const unlikeStrings = (build: Build, recording: Recording): number[] => {
  const channels = channelOf(build, recording);
  return build.instrument.strings.flatMap((spec, i) => {
    const measured = recording.channels[channels[i]]?.inharmonicity;
    return measured && Math.abs(stringModel(spec).B - measured.value) > measured.uncertainty ? [i] : [];
  });
};
