/** Before the browser tests: builds and serves the page (`inject('page')`) and the fixtures (`inject('fixtures')`). */
import type { TestProject } from 'vitest/node';
import { serveSite } from './site.ts';

declare module 'vitest' {
  export interface ProvidedContext {
    /** Address of the built page. */
    page: string;
    /** Address of the folder of built fixtures. */
    fixtures: string;
  }
}

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const page = await serveSite('page');
  const fixtures = await serveSite('fixtures');
  project.provide('page', page.url);
  project.provide('fixtures', fixtures.url);
  return async () => {
    await page.close();
    await fixtures.close();
  };
}
