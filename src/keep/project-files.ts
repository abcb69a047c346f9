/** Opening and saving project files: the file dialog, files dropped on the page, the download. */
import { LARGEST_PROJECT, projectName, readProject, writeProject } from '../files/project.ts';
import { saveFile } from '../parts/plot-export.ts';
import { notify } from '../state/notices.ts';
import { store } from '../state/page.ts';
import { words } from '../words/keep-words.ts';
import { replaceSheet } from './replacing.ts';

export function saveProject(): void {
  const name = projectName(store.value);
  saveFile({ name, content: writeProject(store.value), type: 'application/json' });
  notify(words.saved(name));
}

/** Opens a file as one step that can be undone; a file that cannot be opened changes nothing and says why. */
export async function openProject(file: File): Promise<void> {
  const refuse = (why: string) => notify(words.refused(file.name, why), 'warning');
  if (file.size > LARGEST_PROJECT) return refuse(words.tooLarge);
  let text: string;
  try {
    text = await file.text();
  } catch {
    return refuse(words.unreadable);
  }
  const read = readProject(text, store.value);
  if (!read.ok) return refuse(read.message);
  replaceSheet(words.openStep(file.name), read.sheet);
  notify(words.opened(file.name));
}

/** Asks for a file and opens it. */
export function chooseFile(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = '.json,application/json';
  input.addEventListener('change', () => {
    const [file] = input.files ?? [];
    if (file) void openProject(file);
  });
  input.click();
}

const hasFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;

/** Lets files be dropped anywhere on the page, with a word on what will happen. */
export function acceptDrops(): void {
  addEventListener('dragover', event => {
    if (!hasFiles(event) || event.defaultPrevented) return;
    event.preventDefault();
    if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy';
    document.documentElement.dataset.drop = words.dropHere;
  });
  const over = () => {
    delete document.documentElement.dataset.drop;
  };
  addEventListener('dragleave', event => {
    if (event.relatedTarget === null) over();
  });
  addEventListener('drop', event => {
    over();
    // a part of the page may have taken the file for itself
    if (!hasFiles(event) || event.defaultPrevented) return;
    event.preventDefault();
    const files = [...(event.dataTransfer?.files ?? [])];
    if (files.length > 1) notify(words.severalFiles, 'warning');
    else if (files[0]) void openProject(files[0]);
  });
}
