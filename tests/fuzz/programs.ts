/** Every fuzz program by its name. */
import { documents } from './documents.ts';
import { edits } from './edits.ts';
import { links } from './links.ts';
import type { Program } from './program.ts';
import { units } from './units.ts';
import { wav } from './wav.ts';

// each program makes and checks its own kind of cases, so that nobody else needs to know the kind
export const PROGRAMS = { documents, edits, links, units, wav } as Record<string, Program<unknown>>;
