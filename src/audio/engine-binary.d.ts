/** Made by the build from `shared/audio/vector`. */
declare module 'virtual:engine-binary' {
  /** Address of the binary, relative to the page or absolute. */
  const address: string;
  export default address;
}
