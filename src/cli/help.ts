/** What `lab help` prints. */
export const HELP = `lab: pickups of electric string instruments from the command line

  lab response BUILD.json --string N --point TPn [--build LETTER] [--from HZ] [--to HZ] [--points N] [--log]
                          [--output N] [--delay] [--rate HZ]
      Exact complex response of string N (1 is the highest) from bridge force to a test point, as CSV
      frequency_hz,real,imag. Units: TP1 N/N, TP2 (m/s)/N, TP3 to TP5 V/N.
      From 20 to 20000 Hz, 1000 points, evenly spaced or (--log) evenly in octaves.
      --delay puts in the delay that the sound's kernels have at --rate (48000).

  lab render BUILD.json --take ID_OR_WAV --point TPn --out FILE.wav [--bits 16|24|32f] [--rate HZ]
                        [--string N] [--strings take|instrument] [--gain DB] [--normalize]
      A take through the build. A WAV file has one channel for each string, string 1 first, full scale 1 N; one
      channel alone needs --string. Full scale of the result is 1 unit of the test point; 32f unless told.
      Integers that would clip are brought to -1 dBFS, unless --gain says otherwise.

  lab render BUILD.json... --take ID,... --point TPn,... --out FOLDER [--build LETTER,...] [--level matched|true]
                        [--strings take|instrument] [--reference LETTER] [--bits 16|24|32f] [--rate HZ]
      Every build with every take at every test point, into a folder, under names that say what they are; options may
      be repeated or hold lists. A sheet gives all its builds. Levels are matched by loudness (ITU-R BS.1770), or true:
      the gain that the reference needs, for all. Prints a CSV line for each file. A recorded take brings the
      inharmonicity of the strings that were recorded; --strings instrument keeps the build's. Figures and responses of
      a sheet are those its page shows, on the strings of the sheet's take.

  lab compare A.json B.json   or   lab compare SHEET.json --builds A,B
      What differs, in words, and key figures side by side, as CSV.

  lab sheet BUILD.json [--out FILE.svg] [--paper a4|letter] [--units mm|in] [--owner TEXT] [--title TEXT] [--number TEXT]
                       [--date TEXT] [--creator TEXT] [--approval TEXT] [--revision TEXT] ...
      The build sheet for the workshop as SVG: plan to scale, distances, dips, selector, schematic, full-size template.

  lab takes                 the shipped takes: id, kind, instruments, name, what is in the sound already
  lab example [NAME]        a whole build; without a name the first, "list" for the names
  lab netlist BUILD.json [--build LETTER] [--point TP4|TP5]
                            the selected wiring as SPICE text
  lab figures BUILD.json [--fret N] [--to HZ] [--output N]
                            selector positions, coils on strings, dips, as CSV tables
  lab help

BUILD.json may be - for standard input, or a sheet saved by the page: --build LETTER says which of its builds; without it
the first is taken, and said on standard error.
Test points: 1 bridge force, 2 after position, 3 after aperture, 4 at the jack with nothing plugged in, 5 at the input.
Exit codes: 0 done, 2 bad input (told on standard error), 1 a fault of this program.
`;
