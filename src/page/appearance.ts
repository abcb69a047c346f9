/** Puts the chosen paper and size on the root element, where the theme's tokens listen. */
import { effect } from '@preact/signals-core';
import { view } from '../state/page.ts';

export function applyAppearance(root: HTMLElement = document.documentElement): void {
  const dark = matchMedia('(prefers-color-scheme: dark)');
  const apply = () => {
    const { sheet, size } = view.value;
    root.dataset.sheet = sheet === 'auto' ? (dark.matches ? 'dark' : 'light') : sheet;
    root.dataset.size = size;
  };
  effect(apply);
  dark.addEventListener('change', apply);
}
