import '@fontsource/barlow/400.css';
import '@fontsource/barlow/500.css';
import '@fontsource/barlow/600.css';
import '@fontsource/barlow-semi-condensed/400.css';
import '@fontsource/barlow-semi-condensed/500.css';
import '@fontsource/barlow-semi-condensed/600.css';
import './page/theme.css';
import { acceptLaunches, workOffline } from './keep/offline.ts';
import { applyAppearance } from './page/appearance.ts';
import './page/app.ts';
import { fetchLater } from './page/later.ts';
import { readJournal } from './state/journal.ts';
import { startLevels } from './state/level-match.ts';
import { startMeasuring } from './state/measured.ts';
import { startOwnRecordings } from './state/own-recordings.ts';
import { openStore } from './state/page.ts';
import { recoverUnfinished } from './state/recorded-take.ts';
import { startSound } from './state/sound.ts';

/** Nothing runs before this: modules only say what there is. */
async function start(): Promise<void> {
  await openStore(await readJournal());
  applyAppearance();
  void startOwnRecordings()
    .then(recoverUnfinished)
    .catch(() => undefined);
  startSound();
  startMeasuring();
  startLevels();
  document.body.prepend(document.createElement('cc-app'));
  fetchLater();
  acceptLaunches();
  void workOffline();
}

void start();
