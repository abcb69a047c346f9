/** What is said when work done away from the page does not come to its end. */
export const words = {
  /** The worker's script could not be loaded. */
  notLoaded: 'a part of this page could not be loaded; check the connection and try again',
  died: 'the work stopped: this device ran out of memory, or the browser ended it; it starts anew when you try again',
  hung: (seconds: number) => `nothing came of the work for ${seconds} seconds, so it was ended; try again`,
  dropped: 'the work was dropped',
  fetchFailed: (file: string) => `the recording ${file} could not be fetched; check the connection and try again`,
  fetchStatus: (file: string, status: number) => `the recording ${file} could not be fetched (status ${status})`,
  fetchSilent: (file: string, seconds: number) =>
    `the recording ${file} did not arrive: nothing came for ${seconds} seconds; check the connection and try again`,
};
