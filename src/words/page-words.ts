/** Words of the page's frame: header, notices, sheet choices. */
export const words = {
  product: 'Comb & Coil',
  pageTitle: (bench: string) => `${bench} · Comb & Coil`,
  skipToPlay: 'To Play',
  skipToBench: 'To the bench',
  benchesLabel: 'Benches',
  benches: { sound: 'Sound', paper: 'Paper' },
  benchTitles: { sound: 'Plan, signal path and readings', paper: 'What is printed: the build sheet' },
  sheetLabel: 'Sheet',
  titleLabel: 'title of the sheet',
  titleStep: 'change title',
  noteLabel: 'note on the sheet',
  noteStep: 'change note',
  undo: 'Undo',
  redo: 'Redo',
  undoStep: (name: string | null) => (name ? `Undo: ${name}` : 'Nothing to undo'),
  redoStep: (name: string | null) => (name ? `Redo: ${name}` : 'Nothing to redo'),
  undone: (name: string, letter: string | null) => `Undone${letter ? ` in build ${letter}` : ''}: ${name}.`,
  redone: (name: string, letter: string | null) => `Done again${letter ? ` in build ${letter}` : ''}: ${name}.`,
  link: 'Copy link',
  linkCopied: (length: number, builds: number, results: number) => {
    const tests = results === 0 ? 'no' : String(results);
    return `Link copied (${length} characters): ${builds} build${builds === 1 ? '' : 's'}, the choice of take, ${tests} listening result${results === 1 ? '' : 's'}. Recordings of your own are never in it.`;
  },
  linkWithout: 'Copy it without the results',
  linkWith: 'Copy it with the results',
  linkShown: 'The browser does not let this page copy. The link now stands in the address bar.',
  sheetChoice: 'Paper',
  sheetChoices: { auto: 'as the system', light: 'light', dark: 'dark' },
  sizeChoice: 'Size',
  sizeChoices: { desk: 'desk', projector: 'projector' },
  unitsChoice: 'Lengths',
  unitsChoices: { mm: 'mm', in: 'inches' },
  appearance: 'Aa',
  appearanceLabel: 'Paper, size and units',
  dismiss: 'Close',
  about: 'What to believe',
  aboutText: [
    'The curves are exact for the model: stiff strings on rigid ends, small movements, the field over the poles as computed, linear parts. A real pickup differs from any model in its losses, its magnets and its tolerances; a pot may be 20 % off. Trust differences more than absolute values, and measure before you cut.',
    'What the model leaves out: the body and the neck, string pull and distortion, coupling between coils. What the recordings already contain stands beside each take.',
  ],
  hearing:
    'Start quiet, above all with headphones: hearing that is lost does not come back. 80 dB(A) for 40 hours a week is the safe limit of WHO–ITU H.870; each 3 dB more halves the time.',
  workshop:
    'Soldering burns and its fumes harm: air the room. Strong magnets pinch fingers and disturb implants. Anything that is connected to mains belongs to licensed hands and local codes; never open an amplifier.',
  notices: 'Licences of fonts, recordings and libraries in this page',
  bands: { plan: 'Plan', path: 'Signal path', readings: 'Readings', dock: 'Listening' },
} as const;
