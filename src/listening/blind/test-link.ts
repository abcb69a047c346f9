/** A link that brings somebody else to the same test. */
import type { Letter } from '../../../shared/document/sheet.ts';
import { writeLink } from '../../files/link.ts';
import { store } from '../../state/page.ts';
import { words } from '../../words/listening-words.ts';

/** Copies it; says what became of that. */
export async function copyTestLink(builds: readonly [Letter, Letter], trials: number): Promise<string> {
  const url = new URL(location.href);
  url.hash = writeLink({ ...store.sheet.peek(), runs: [], test: { builds: [...builds], trials } });
  try {
    await navigator.clipboard.writeText(url.href);
    return words.linkCopied;
  } catch {
    return `${words.linkRefused} ${url.href}`;
  }
}
