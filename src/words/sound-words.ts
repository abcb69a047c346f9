/** What the page says about the sound engine itself. */
export const words = {
  notReady: 'the sound is not ready yet; try again',
  failed: 'the audio engine failed',
  /** What could not be fetched. */
  engineFile: 'the sound engine',
  noWorklet: 'this browser has no AudioWorklet; use a newer one, and open the page by https',
  noVectorCode:
    'this browser cannot run the sound engine: it lacks the vector instructions of WebAssembly (SIMD), which browsers have had since 2021 to 2023; use a newer browser, or switch WebAssembly on again',
  departs: (letter: string, most: string, at: string) =>
    `${letter} rings on for longer than the second that can be played: what is heard differs from the curve by up to ${most}, most near ${at}.`,
};
