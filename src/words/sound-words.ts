/** What the page says about the sound engine itself. */
export const words = {
  noVectorCode:
    'this browser cannot run the sound engine: it lacks the vector instructions of WebAssembly (SIMD), which browsers have had since 2021 to 2023; use a newer browser, or switch WebAssembly on again',
};
